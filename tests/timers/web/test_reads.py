"""What other programs read of a shop beside the floor: the shelf, a mix, the step between grits."""

import csv
import io

import pytest

from tests.shop.security.test_access import SECRET
from tests.support.read_shop import CLEAR, COATS, PUTTY, Bench, frozen
from tests.timers.web.test_api import described, follows
from timers.core.base.units import MINUTE_MS
from timers.core.bench import grit
from timers.core.files import table
from timers.log import quotas

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    with frozen():
        yield Bench()


# --- the shelf ---


def test_the_shelf_as_csv_and_json_reads_back_as_the_products_on_it(bench):
    bench.wrote(CLEAR, PUTTY)
    bench.did(f"product:{PUTTY['id']}", "sheet_put_away")
    as_csv, as_json = bench.get("/shelf.csv"), bench.get("/shelf.json")
    assert as_csv.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert as_csv.headers["Content-Disposition"] == 'attachment; filename="sandtime-shelf.csv"'
    text = as_csv.content.decode()
    assert text.startswith("\ufeffsandtime_shelf,row,name")
    follows("Shelf", as_json.json())
    for told in (table.from_csv(text), table.from_json(as_json.content.decode())):
        docs = [row["doc"] for row in told["rows"]]
        assert told["why"] == ""
        assert [row["why"] for row in told["rows"]] == [""] * len(docs)
        assert [doc for doc in docs if doc["id"] == CLEAR["id"]] == [CLEAR]
        assert PUTTY["id"] not in [doc["id"] for doc in docs]
        assert [doc["name"] for doc in docs] == sorted(doc["name"] for doc in docs)
    rows = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"))))
    assert next(row for row in rows if row["id"] == CLEAR["id"])["flash"] == "at 20: 5-10 min"


def test_a_shop_that_was_never_used_has_the_shelf_it_begins_with_and_no_rows_for_it(bench):
    assert bench.shop.seed_locale
    before = bench.get("/shelf.json").json()["products"]
    bench.did("air", "air_read", temp_dc=200)
    bench.shop.refresh_from_db()
    assert not bench.shop.seed_locale
    assert bench.get("/shelf.json").json()["products"] == before != []


def test_a_product_that_was_written_without_an_id_has_the_one_of_its_thing(bench):
    bare = {key: value for key, value in CLEAR.items() if key != "id"}
    bench.did(f"product:{CLEAR['id']}", "sheet_written", doc=bare)
    assert CLEAR in bench.get("/shelf.json").json()["products"]


def test_a_cell_that_a_spreadsheet_would_reckon_comes_guarded(bench):
    bench.wrote({**CLEAR, "name": "=1+1"})
    assert "'=1+1" in bench.get("/shelf.csv").content.decode()


def test_a_shelf_that_is_more_than_one_request_may_read_is_refused_and_the_floor_goes_on(bench, monkeypatch):
    bench.did("panel:01956000-0000-7000-8000-000000000001", "panel_added", name=SECRET, steps=COATS)
    bench.wrote(CLEAR)
    assert bench.get("/floor.json").json()["cards"][0]["ahead"]
    monkeypatch.setattr(quotas, "MOST_READ", 100)
    answer = bench.get("/shelf.json")
    assert (answer.status_code, answer.content.decode()) == (400, "A table may be 2 MB. This one is larger.")
    (card,) = bench.get("/floor.json").json()["cards"]
    assert (card["name"], card["ahead"]) == (SECRET, None)
    assert bench.mix(total_ml="600")["total_ml"] == 600


# --- a mix ---


def test_a_mix_has_its_parts_marks_and_grams(bench):
    bench.wrote(CLEAR)
    said = bench.mix(total_ml="600")
    assert said["product"] == {"id": "01956000-0000-7000-8000-0000000000c1", "name": "Clear", "typical": False}
    assert [part["amount_ml"] for part in said["parts"]] == [400, 100, 100]
    assert [part["fill_to_ml"] for part in said["parts"]] == [400, 500, 600]
    assert [part["scale_g"] for part in said["parts"]] == [400.0, 510.0, 600.0]
    assert [part["name"] for part in said["parts"]] == ["Clear", "Hardener", "Reducer"]
    assert (said["by"], said["total_ml"], said["drift_percent"], said["coverage"]) == ("volume", 600, 0, None)
    assert said["solvent_g_per_l"] == 460  # (400 x 400 + 100 x 300 + 100 x 860) / 600, no water in it
    assert said["caution"].startswith("2K hardener holds isocyanates.")
    assert said["rules"].endswith("Check your own data sheet: it rules.")


def test_a_mix_for_an_area_says_how_much_and_how_many_cups(bench):
    bench.wrote(CLEAR)
    said = bench.mix(area_m2="2,5", coats="2")
    need = said["coverage"]
    # 2.5 m2 x 30 um = 75 ml dry; / 50 % = 150; / 60 % lands = 250; x 2 coats = 500; + 10 % = 550; x 6/5 = 660
    assert (need["mix_ml"], said["total_ml"]) == (660, 660)
    assert (need["wet_film_um"], need["m2_per_l"], need["sprayed_solids_percent"]) == (72, 8.3, 41.7)
    assert need["solids_of"] == "mixed"
    # at 20 C the pot lasts 30 min; two sprays of 5 min and a flash of 10 fit
    assert said["cups"]["pot_life_min"] == 30
    assert said["cups"]["cups"] == [{"amount_ml": 660, "coats": 2, "takes_min": 20}]
    assert [one["coats"] for one in bench.mix(total_ml="600", coats="4")["cups"]["cups"]] == [2, 2]


def test_a_cup_that_must_stand_first_takes_more_cups(bench):
    pot, stands, flash = ([[200, min_ * MINUTE_MS, min_ * MINUTE_MS]] for min_ in (60, 30, 15))
    bench.wrote({**CLEAR, "gates": {"pot": pot, "induction": stands, "flash": flash}})
    said = bench.mix(total_ml="600", coats="2", spray_min="15")["cups"]
    assert (said["pot_life_min"], said["induction_min"], said["takes_min"]) == (60, 30, 75)
    assert [cup["coats"] for cup in said["cups"]] == [1, 1]  # 30 + 15 + 15 + 15 is more than 60


def test_the_solids_of_a_question_are_of_what_it_says(bench):
    bench.wrote({**CLEAR, "solids_of": "ready"})
    mixed = [bench.mix(area_m2="2.5", **asked)["coverage"]["mix_ml"] for asked in ({}, {"solids_of": "mixed"})]
    assert mixed == [550, 660]  # 75 / 50 % / 60 % x 2 + 10 %; the same and a fifth of reducer
    answer = bench.get("/mix.json", product=CLEAR["id"], area_m2="2", solids_of="paint")
    words = "solids_of is none of: tin, mixed, ready."
    assert (answer.status_code, answer.content.decode()) == (400, words)


def test_what_there_is_of_one_part_gives_the_others(bench):
    bench.wrote(CLEAR)
    assert [part["amount_ml"] for part in bench.mix(have_ml="50", part="2")["parts"]] == [200, 50, 50]


def test_a_putty_is_mixed_by_weight(bench):
    bench.wrote(PUTTY)
    said = bench.mix(product=PUTTY["id"], total_g="25.5")
    assert [part["amount_g"] for part in said["parts"]] == [25.0, 0.5]
    assert [part["scale_g"] for part in said["parts"]] == [25.0, 25.5]
    assert (said["cups"], said["solvent_g_per_l"], said["product"]["typical"]) == (None, None, True)
    assert "organic peroxide" in said["caution"]


def test_a_mix_goes_by_the_last_reading_and_says_what_speaks_against_the_coat(bench):
    bench.wrote(CLEAR)
    bench.did("air", "air_read", 5, temp_dc=100, rh_pm=950)
    said = bench.mix(total_ml="600")
    assert (said["cups"]["temp_c"], said["cups"]["pot_life_min"]) == (10.0, 60)
    assert said["against"][0] == "The air is at 10 °C: this product needs 15 °C or more."
    assert "above the dew point" in said["against"][1]


def test_what_cannot_be_reckoned_is_a_note_and_the_rest_is_answered(bench):
    pot = {**CLEAR["gates"], "pot": [[200, 1000, 1000]]}
    bench.wrote({**CLEAR, "gates": pot})
    said = bench.mix(total_ml="600", coats="9", spray_min="60")
    assert said["cups"] is None
    assert said["notes"] == ["The pot life is too short for this: it would take 540 cups."]
    assert len(said["parts"]) == 3


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "total_ml is missing."),
        ({"total_ml": "much"}, "total_ml is a number like 12.5 (you typed much)."),
        ({"total_ml": "0"}, "total_ml must be from 1 to 10000000 (you gave 0)."),
        ({"total_ml": "1.500"}, "total_ml may mean 1.5 or 1500: write one of them."),
        ({"total_ml": "9" * 40}, f"total_ml is a number like 12.5 (you typed {'9' * 40})."),
        ({"total_ml": "2"}, "2 is too little for 4 : 1 : 1: part 2 comes to nothing."),
        ({"area_m2": "2000"}, "area_m2 must be from 0.1 to 1000 (you gave 2000)."),
        ({"area_m2": "2", "coats": "21"}, "coats must be from 1 to 20 (you gave 21)."),
        ({"total_ml": "600", "coats": "x"}, "coats is a number like 12.5 (you typed x)."),
        ({"have_ml": "50", "part": "4"}, "part must be from 1 to 3 (you gave 4)."),
        ({"total_ml": "600", "variant": "none"}, "The variant is none of: ."),
        ({"total_ml": "600", "product": "another"}, "The product is missing."),
        ({"total_ml": "600", "product": "\x00"}, "The product is missing."),
    ],
)
def test_a_wrong_question_is_refused_in_words(bench, said, words):
    bench.wrote(CLEAR)
    answer = bench.get("/mix.json", **{"product": CLEAR["id"], **said})
    assert (answer.status_code, answer.content.decode()) == (400, words)


def test_a_mix_without_a_ratio_or_without_solids_for_an_area_says_so(bench):
    bare = {key: CLEAR[key] for key in ("id", "name", "cls", "typical", "gates")}
    bench.wrote(bare, {**PUTTY, "cls": "surfacer", "ratio": {"by": "volume", "parts": [4, 1]}})
    for said, words in (
        ({"product": CLEAR["id"], "total_ml": "9"}, "The ratio is missing."),
        ({"product": PUTTY["id"], "area_m2": "2"}, "solids_percent is missing."),
    ):
        answer = bench.get("/mix.json", **said)
        assert (answer.status_code, answer.content.decode()) == (400, words)
    assert bench.mix(product=PUTTY["id"], area_m2="2", solids_percent="50", film_um="50")["coverage"]["coats"] == 2


def test_the_examples_of_the_description_are_answered_in_a_shop_that_has_just_begun(bench):
    for path, schema in (("/mix.json", "Mix"), ("/grits.json", "GritStep")):
        given = described()["paths"][path]["get"]["parameters"]
        answer = bench.get(path, **{one["name"]: one["example"] for one in given if "example" in one})
        assert answer.status_code == 200, answer.content.decode()
        follows(schema, answer.json())


# --- grits ---


def test_the_step_between_grits(bench):
    big, good = bench.get("/grits.json", from_p="80", to_p="180"), bench.get("/grits.json", from_p="180", to_p="320")
    for answer in (big, good):
        follows("GritStep", answer.json())
    assert (big.json()["ok"], big.json()["between_p"], big.json()["ratio"]) == (False, grit.between(80, 180), 2.451)
    assert (good.json()["ok"], good.json()["between_p"]) == (True, [])
    back = bench.get("/grits.json", from_p="320", to_p="180").json()
    assert (back["ok"], back["between_p"]) == (False, [])
    odd = bench.get("/grits.json", from_p="175", to_p="320")
    words = "P175 is not a grade of the P series; the nearest known here: P150 and P180."
    assert (odd.status_code, odd.content.decode()) == (400, words)
