"""The default routes of a shop: the ordered steps of six common jobs.  Common practice, no source."""

from ..core.base.translate import later, t
from ..core.fold.finishing import POLISH, REFIT, UNMASK, WASH, WAX, WHY


def translated(route: dict) -> dict:
    """A default route with its name and the words of its steps in the active language."""
    said = ("words", "why")
    steps = [{**step, **{key: t(step[key]) for key in said if key in step}} for step in route["steps"]]
    return {**route, "name": t(route["name"]), "steps": steps}


def _step(do: str, words: str, cls: str = "", coats: int = 1, grit: int = 0) -> dict:
    return {"do": do, "words": words, "cls": cls, "coats": coats, "grit": grit}


def _sand(words: str, grit: int) -> dict:
    return _step("sand", words, grit=grit)


def _finish(words: str, needs: str) -> dict:
    """A step behind the last coat.  Polishing too is none that sands: sanding ends the clocks of the films it works on,
    and this one goes on curing."""
    return {**_step("clean", words), "needs": needs, "why": WHY[words]}


DEGREASE = _step("clean", later("Wash and degrease"))
CLEAN = _step("clean", later("Blow off, clean, mask"))
TACK = _step("clean", later("Clean and tack"))
FILL = _step("fill", later("Body filler"), "putty")
GLAZE = _step("fill", later("Glazing putty"), "putty")
FEEL = _step("check", later("Guide coat gone? Feel for low spots"))
EPOXY = _step("coat", later("Epoxy primer"), "epoxy")
SURFACER = _step("coat", later("Surfacer"), "surfacer", 2)
GUIDE = {**_step("clean", later("Guide coat")), "needs": "sand"}  # powder clogs in a film that is still wet
PAINT = [
    TACK,
    _step("coat", later("Sealer"), "sealer"),
    _step("coat", later("Base [[a coat]]"), "base", 2),
    _step("coat", later("Clear [[the last coat]]"), "clear", 2),
    _step("check", later("Look over for dust and runs")),
    _finish(UNMASK, "flash"),
    _finish(REFIT, "handle"),
    _finish(POLISH, "sand"),
    _finish(WASH, "cure"),
    _finish(WAX, "cure"),
]
SCUFF = _sand(later("Scuff P180 [[make it rough]]"), 180)
FLATTEN = _sand(later("Block P180 [[sand it flat]]"), 180)
BLOCK = [GUIDE, _sand(later("Block P320 [[sand it flat]]"), 320), FEEL, _sand(later("Final sand P600"), 600)]


def _route(number: int, name: str, steps: list) -> dict:
    numbered = [{"id": str(at), **step} for at, step in enumerate(steps, start=1)]
    return {"id": f"5a4d7200-0000-4000-8000-{number:012d}", "name": name, "steps": numbered}


ROUTES = [
    _route(
        1,
        later("Chips and small dings, painted panel"),
        [DEGREASE, _sand(later("Feather-edge P180"), 180), CLEAN, GLAZE, FLATTEN, CLEAN, SURFACER, *BLOCK, *PAINT],
    ),
    _route(
        2,
        later("Bare-metal spot"),
        [
            DEGREASE,
            _sand(later("Strip the spot, feather-edge P180"), 180),
            CLEAN,
            EPOXY,
            SCUFF,
            FILL,
            FLATTEN,
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        3,
        later("New panel, factory coat"),
        [
            DEGREASE,
            _step("check", later("Rub the factory coat with solvent: does it hold?")),
            _sand(later("Scuff P320 [[make it rough]]"), 320),
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        4,
        later("Plastic bumper cover"),
        [
            DEGREASE,
            _sand(later("Scuff and feather-edge P320"), 320),
            CLEAN,
            _step("clean", later("Adhesion promoter, if the sheet asks for it")),
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        5,
        later("Old finish stripped"),
        [
            DEGREASE,
            _step("sand", later("Strip to metal P80"), grit=80),
            _sand(later("Sand P120 [[do it]]"), 120),
            CLEAN,
            EPOXY,
            SCUFF,
            FILL,
            FLATTEN,
            GLAZE,
            FLATTEN,
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        6,
        later("Touch-in of an edge"),
        [
            DEGREASE,
            _sand(later("Feather the edge P320"), 320),
            CLEAN,
            EPOXY,
            _sand(later("Scuff P600 [[make it rough]]"), 600),
            *PAINT,
        ],
    ),
]
