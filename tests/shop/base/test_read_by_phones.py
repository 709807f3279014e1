"""Each reader's own tongue: pages and refusals in that of the request, rings in that of the phone that is told."""

import ast
import re
import urllib.request

import pytest
from babel.messages.catalog import Catalog
from django.db import connection
from django.template.loader import render_to_string
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import translation

from shop.lan import certificates, trust_page
from shop.models import Phone
from tests import phrases
from tests.conftest import ROOT
from tests.shop.security.test_access import OWN, begun, post, tap
from tests.support.bell import NOW_MS
from tests.support.each import each
from tests.support.joins import walled
from timers.alarm import ringer
from timers.core.base import translate
from timers.core.base.units import MINUTE_MS
from timers.core.card import alarms
from timers.models import Alert

pytestmark = pytest.mark.django_db
WORDS = {
    "try it": "probier es",
    "Look at the floor: {names}": "Sieh nach: {names}",
    "Trial ring": "Probe",
    "This is how the server rings this phone.": "So klingelt der Server.",
    "This phone belongs to no shop here. What it holds stays on it.": "Kein Betrieb.",
    "This phone is on the wall: it may only look. A keeper's phone can change that.": "Nur schauen.",
    "The clock of a small refinish shop.": "Die Uhr.",
    "There is nothing here. Try / instead.": "Hier ist nichts.",
    "2. Install it": "2. Einbauen",
    ("{n} thing rang while this phone could not be told", "{n} things rang while this phone could not be told"): (
        "{n} Ding klang",
        "{n} Dinge klangen",
    ),
}
GERMAN, SPANISH = {"Accept-Language": "de-AT,de;q=0.9"}, {"Accept-Language": "es"}
NOT_SAID = {"Sandtime", "bar", "psi", "kPa"}
FIGURE = re.compile(r"[\d.: ]+ ?(°C|ml|mm|m²|%)?\Z")


@pytest.fixture(autouse=True)
def german(settings, tmp_path):
    """A catalogue of a few German words."""
    catalogue = Catalog(locale="de")
    for phrase, words in WORDS.items():
        catalogue.add(phrase, words)
    catalogue.add("Put away", "Weglegen", context="the panel: do it")
    phrases.keep("de", catalogue, tmp_path)
    settings.LOCALE_PATHS = [tmp_path]


@pytest.fixture
def two(bell, monkeypatch):
    """Two phones of one shop, the second of which reads German; what rings is to be tried."""
    Phone.objects.filter(pk=bell.phones[1].phone_id).update(locale="de")
    monkeypatch.setattr(alarms, "words", lambda ring, name, *more: f"{name}: {translate.t('try it')}")
    return bell


def heard(bell) -> dict[str, tuple]:
    payloads = {path: bell.said(body) for path, _, body in bell.service.came}
    return {path: (one["title"], one["body"], one["lang"]) for path, one in payloads.items()}


def synced(client: Client, headers: dict, *acts: dict):
    return post(client, list(acts), {**OWN, **headers})


# --- rings ---


def test_each_phone_is_told_in_the_tongue_that_it_reads(two):
    on = two.door()
    two.at(NOW_MS)
    two.at(two.opening(on))
    assert heard(two) == {
        "/0": ("Left front door", "Try it", "en"),
        "/1": ("Left front door", "Probier es", "de"),
    }


def test_after_an_absence_too(two):
    opens = [two.opening(on) for on in (two.door(), two.door("Hood")) if two.at(NOW_MS) == []]
    two.at(max(opens) + 31 * MINUTE_MS)
    payloads = heard(two)
    assert (payloads["/0"][0], payloads["/0"][2]) == ("2 things rang while this phone could not be told", "en")
    assert (payloads["/1"][0], payloads["/1"][2]) == ("2 Dinge klangen", "de")
    assert payloads["/0"][1].startswith("Look at the floor: ")
    assert payloads["/1"][1].startswith("Sieh nach: ")


def test_one_thing_of_an_absence_is_counted_as_one(two):
    on = two.door()
    two.at(NOW_MS)
    two.at(two.opening(on) + 31 * MINUTE_MS)
    titles = {path: one[0] for path, one in heard(two).items()}
    assert titles == {"/0": "1 thing rang while this phone could not be told", "/1": "1 Ding klang"}


def test_a_phone_that_has_changed_its_tongue_since_is_told_in_english(two):
    two.service.answers["/1"] = [(503, {}), (201, {})]
    on = two.door()
    two.at(NOW_MS)
    opens = two.opening(on)
    two.at(opens)
    Phone.objects.filter(pk=two.phones[1].phone_id).update(locale="es")
    two.at(opens + MINUTE_MS)
    assert heard(two)["/1"] == ("Left front door", "Try it", "en")


def test_a_ring_is_kept_in_no_more_tongues_than_the_phones_of_the_shop_read(two):
    Phone.objects.filter(locale="de").update(locale="en")
    on = two.door()
    two.at(NOW_MS)
    two.at(two.opening(on))
    assert "tongues" not in Alert.objects.get().payload


def test_a_trial_rings_in_the_tongue_in_which_it_was_asked_for(push_service):
    client = begun()
    client.post("/push/subscribe", push_service.keys(), headers=OWN)
    at_ms = client.post("/push/trial", headers={**OWN, **GERMAN}).json()["at_ms"]
    one = ringer.Ringer(lambda: at_ms)
    one.turn()
    one.settle()
    (payload,) = [one["notification"] for one in push_service.heard()]
    assert (payload["title"], payload["body"], payload["lang"]) == ("Probe", "So klingelt der Server.", "de")


# --- what a phone reads ---


def test_what_a_phone_reads_is_kept_when_it_syncs_and_written_only_when_it_is_another():
    client = begun()
    assert Phone.objects.get().locale == "en"
    for headers, reads, writes in (
        (GERMAN, "de", 1),
        (GERMAN, "de", 0),
        (SPANISH, "es", 1),
        ({}, "en", 1),
        ({}, "en", 0),
    ):
        with CaptureQueriesContext(connection) as asked:
            assert synced(client, headers).status_code == 200
        assert Phone.objects.get().locale == reads
        assert sum('SET "locale"' in one["sql"] for one in asked) == writes


def test_the_tongue_that_the_page_chose_rules_over_the_browsers():
    client = begun()
    client.cookies["sandtime_tongue"] = "es"
    synced(client, GERMAN)
    assert Phone.objects.get().locale == "es"
    client.cookies["sandtime_tongue"] = "xx"
    synced(client, {"Accept-Language": "xx"})
    assert Phone.objects.get().locale == "en"


# --- what a request is answered ---


def test_refusals_are_said_in_the_tongue_of_the_request():
    wall = walled(begun())
    for headers, stranger, looks in (
        (GERMAN, "Kein Betrieb.", "Nur schauen."),
        ({}, "This phone belongs to no shop here. What it holds stays on it.", "This phone is on the wall"),
    ):
        assert synced(Client(), headers).content.decode() == stranger
        assert looks in synced(wall, headers, tap()).content.decode()


def test_the_manifest_is_in_the_tongue_of_the_request():
    for headers, lang, description in ((GERMAN, "de", "Die Uhr."), ({}, "en", "The clock of a small refinish shop.")):
        answer = Client().get("/app.webmanifest", headers=headers)
        assert (answer.json()["lang"], answer.json()["description"]) == (lang, description)
        assert "Accept-Language" in answer.headers["Vary"]


def test_the_card_is_in_the_tongue_and_figures_for_the_script_are_not():
    fragment = {"on": "panel:1", "seq": 1_234_567, "kept": {}}
    answer = {"verdicts": [], "cursor": 1_234_567, "now": 1_790_000_000_000, "fragments": [fragment]}
    with translation.override("de"):
        shown = render_to_string("timers/_answer.html", answer)
        assert ">Weglegen</button>" in render_to_string("timers/_card.html")
    for figure in ('data-cursor="1234567"', 'data-now="1790000000000"', 'data-seq="1234567"'):
        assert figure in shown


def test_the_page_before_the_box_is_trusted_is_in_the_tongue_of_the_browser(tmp_path):
    page = trust_page.Page("127.0.0.1", 0, 8443)
    page.update(["127.0.0.1"], certificates.Files(tmp_path, b"", False, "AA:BB"))
    page.start()

    def shown(headers: dict) -> str:
        asked = urllib.request.Request(f"http://127.0.0.1:{page.server_address[1]}/", headers=headers)
        with urllib.request.urlopen(asked, timeout=30) as answer:
            return answer.read().decode()

    try:
        assert '<html lang="de">' in shown(GERMAN)
        assert "<h2>2. Einbauen</h2>" in shown(GERMAN)
        assert '<html lang="en">' in shown({})
        assert "<h2>2. Install it</h2>" in shown({"Accept-Language": "xx,*;q=0.1"})
    finally:
        page.shutdown()
        page.server_close()


# --- nothing is left out ---


@each("path", sorted((ROOT / "templates").rglob("*.html")))
def test_a_template_says_nothing_outside_of_a_phrase(path):
    text = re.sub(r"\{% blocktranslate.*?endblocktranslate %\}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    text = re.sub(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", "", text)
    texts = [one.strip() for one in re.split(r"<[^>]*>", text)]
    texts += re.findall(r'(?:aria-label|alt|title|placeholder|data-word)="([^"]*)"', text)
    assert [one for one in texts if re.search(r"[A-Za-z]", one) and one not in NOT_SAID and not FIGURE.match(one)] == []


@each("path", [*ROOT.glob("shop/**/*.py"), *ROOT.glob("timers/**/*.py")])
def test_what_is_refused_is_said_by_a_phrase(path):
    refusing = {"Refused", "BadRequest", "Forbidden", "RateLimited", "TooLarge", "OtherShop", "WrongCode", "reworded"}
    refusing |= {"plain", "UnknownPhone"}
    calls = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    bare = [
        node for node in calls if getattr(node.func, "id", getattr(node.func, "attr", "")) in refusing and node.args
    ]
    assert [ast.unparse(node) for node in bare if isinstance(node.args[0], ast.Constant | ast.JoinedStr)] == []
