"""How much to mix: the rules in both languages on random products, as the checks of a sheet let them through."""

import pytest

from timers.core.base.units import MINUTE_MS
from timers.defaults import products, routes

from .test_twins_of_mixing import alike, decimal, in_page, in_python
from .twins import SEED, rnd_for

pytestmark = pytest.mark.browser
CLASSES = ["putty", "surfacer", "base", "waterbase", "clear"]


def solids(rnd):
    of = rnd.choice(["tin", "mixed", "ready"])
    parts = [rnd.randint(1, 9) for _ in range(rnd.randint(1, 4))]
    pct = rnd.choice([0, 101, decimal(rnd, 1, 100), decimal(rnd, 1, 100)])
    return [pct, of, rnd.choice(CLASSES), parts, rnd.choice([None, decimal(rnd, 0, 100)])]


def coated(rnd):
    """A product, an area, coats, what lands and what stays behind."""
    pct, of, cls, parts, hardener = solids(rnd)
    doc = {"cls": cls, "solids_pm": rnd.choice([None, max(10, int(10 * pct))]), "solids_of": rnd.choice([None, of])}
    doc |= {"film_um": rnd.choice([None, rnd.randint(1, 3_000)]), "ratio": {"by": "volume", "parts": parts}}
    doc |= {"hardener_solids_pm": None if hardener is None else int(10 * hardener)}
    return [doc, rnd.choice([0, decimal(rnd, 0.1, 30)]), rnd.randint(1, 6), decimal(rnd, 10, 100), decimal(rnd, 0, 50)]


def poured(rnd):
    """A sheet with times as they come from the checks, coats to lay, and the air from before to after."""
    some = [gate for gate in ("pot", "flash", "induction") if rnd.random() < 0.8]
    sheet = {"name": "x", "cls": "epoxy", "gates": {gate: points(rnd, gate) for gate in some}, "lowest_dc": 150}
    at, trace = 0, []
    for _ in range(rnd.randint(1, 6)):
        low = rnd.randint(50, 300)
        trace.append([at, low, low + rnd.choice([0, rnd.randint(0, 100)])])
        at += rnd.randint(1, 120) * MINUTE_MS
    return [sheet, rnd.randint(1, 3000), rnd.randint(1, 20), rnd.randint(1, 30) * MINUTE_MS, rnd.randint(0, at), trace]


def points(rnd, gate):
    """One or two lines by rising temperature, warmer never slower."""
    long = rnd.randint(2, 240 if gate == "pot" else 30) * MINUTE_MS
    short = rnd.randint(MINUTE_MS, long)
    warm = [[300, short // 2, long // 2]] if rnd.random() < 0.5 else []
    return [[200, short, long], *warm]


SHELF = [{**one, "id": f"product:{one['id']}"} for one in products.PRODUCTS]
USUAL = {"volume": [100, 250, 500, 1000, 2500, 5000], "weight": [25, 50, 100, 250, 500, 1000, 2000]}


def works(rnd):
    """Panels on their ways through the default routes, some of their steps done or about one area."""
    return [_work(rnd) for _ in range(rnd.randint(1, 4))]


def _work(rnd):
    steps = [{**one, "area": "", "laid": 0, "done_at": None} for one in rnd.choice(routes.ROUTES)["steps"]]
    for step in steps:
        step |= {
            "done_at": rnd.choice([None, None, 5]),
            "laid": rnd.randint(0, 3),
            "area": rnd.choice(["", "", "edge"]),
        }
    used = rnd.choice(products.PRODUCTS)
    films = [{"product": used["id"], "sheet": {"cls": used["cls"]}}] if rnd.random() < 0.5 else []
    return {"steps": steps, "films": films, "area_m2": rnd.choice([0, decimal(rnd, 0.1, 9.9)])}


def bought(rnd):
    shelf = [{**one, **solids_of_sheet(rnd)} for one in SHELF if rnd.random() < 0.8]
    lands, loss = decimal(rnd, 10, 100), decimal(rnd, 0, 50)
    return [works(rnd), shelf, rnd.randint(0, 400), {**USUAL, "lands_pct": lands, "loss_pct": loss}]


def solids_of_sheet(rnd):
    doc = coated(rnd)[0]
    own = {key: doc[key] for key in ("solids_pm", "solids_of", "film_um", "hardener_solids_pm")}
    return own if rnd.random() < 0.5 else {"typical": rnd.random() < 0.5}


QUESTIONS = {
    "coating": {"ready_vs_pct": solids, "coverage": coated},
    "batches": {"batches": poured},
    "shopping": {
        "products": bought,
        "papers": lambda rnd: [works(rnd)],
        "tins": lambda rnd: [rnd.randint(0, 20_000), USUAL["volume"]],
    },
}
ALWAYS = {"products", "papers", "tins"}  # what one step cannot be reckoned with is said in its row


@pytest.mark.parametrize(("module", "fn"), [(module, fn) for module, asked in QUESTIONS.items() for fn in asked])
def test_both_languages_answer_alike(core_page, module, fn):
    rnd, make = rnd_for(f"{module} {fn}"), QUESTIONS[module][fn]
    asked = [make(rnd) for _ in range(400)]
    ours, theirs = [in_python(module, fn, args) for args in asked], in_page(core_page, module, fn, asked)
    for args, one, other in zip(asked, ours, theirs, strict=True):
        assert alike(one, other), f"seed {SEED}: {module}.{fn}(*{args!r:.2000})\npython      {one}\njavascript  {other}"
    assert sum("is" in one for one in ours) > len(asked) / 4
    assert any("refused" in one for one in ours) is not (fn in ALWAYS)
