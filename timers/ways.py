"""The routes a shop starts with: the ordered steps of six common jobs.  Common practice, no source."""


def _step(do: str, words: str, cls: str = "", coats: int = 1, grit: int = 0) -> dict:
    return {"do": do, "words": words, "cls": cls, "coats": coats, "grit": grit}


def _sand(words: str, grit: int) -> dict:
    return _step("sand", f"{words} P{grit}", grit=grit)


WASH = _step("clean", "Wash and degrease")
CLEAN = _step("clean", "Blow off, clean, mask")
TACK = _step("clean", "Clean and tack")
FILL = _step("fill", "Body filler", "putty")
GLAZE = _step("fill", "Glazing putty", "putty")
FEEL = _step("check", "Guide coat gone? Feel for low spots")
EPOXY = _step("coat", "Epoxy primer", "epoxy")
SURFACER = _step("coat", "Surfacer", "surfacer", 2)
GUIDE = _step("clean", "Guide coat")
PAINT = [
    TACK,
    _step("coat", "Sealer", "sealer"),
    _step("coat", "Base", "base", 2),
    _step("coat", "Clear", "clear", 2),
    _step("check", "Look over for dust and runs"),
]
BLOCK = [GUIDE, _sand("Block", 320), FEEL, _sand("Final sand", 600)]


def _route(number: int, name: str, steps: list) -> dict:
    numbered = [{"id": str(at), **step} for at, step in enumerate(steps, start=1)]
    return {"id": f"5a4d7200-0000-4000-8000-{number:012d}", "name": name, "steps": numbered}


ROUTES = [
    _route(
        1,
        "Chips and small dings, painted panel",
        [WASH, _sand("Feather-edge", 180), CLEAN, GLAZE, _sand("Block", 180), CLEAN, SURFACER, *BLOCK, *PAINT],
    ),
    _route(
        2,
        "Bare-metal spot",
        [
            WASH,
            _sand("Strip the spot, feather-edge", 180),
            CLEAN,
            EPOXY,
            _sand("Scuff", 180),
            FILL,
            _sand("Block", 180),
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        3,
        "New panel, factory coat",
        [
            WASH,
            _step("check", "Rub the factory coat with solvent: does it hold?"),
            _sand("Scuff", 320),
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        4,
        "Plastic bumper cover",
        [
            WASH,
            _sand("Scuff and feather-edge", 320),
            CLEAN,
            _step("clean", "Adhesion promoter, if the sheet asks for it"),
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(
        5,
        "Old finish stripped",
        [
            WASH,
            _step("sand", "Strip to metal P80", grit=80),
            _sand("Sand", 120),
            CLEAN,
            EPOXY,
            _sand("Scuff", 180),
            FILL,
            _sand("Block", 180),
            GLAZE,
            _sand("Block", 180),
            CLEAN,
            SURFACER,
            *BLOCK,
            *PAINT,
        ],
    ),
    _route(6, "Touch-in of an edge", [WASH, _sand("Feather the edge", 320), CLEAN, EPOXY, _sand("Scuff", 600), *PAINT]),
]
