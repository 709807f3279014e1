"""The default routes of a shop: the ordered steps of twelve common jobs.  Common practice, no source.

A number is a route's for good.  They stand in the order in which the sheet that adds a panel offers them.
"""

from ..core.base.translate import later, t
from . import steps as by
from .bench_cards import OF_WORDS
from .steps import on, only, sand, step

SAID = ("words", "why", "area")
METALS = ("steel", "aluminium", "galvanised")


def translated(route: dict) -> dict:
    """A default route with its name and the words of its steps in the active language."""
    steps = [{**one, **{key: t(one[key]) for key in SAID if key in one}} for one in route["steps"]]
    return {**route, "name": t(route["name"]), "steps": steps}


def numbered(number: int) -> dict:
    """The default route of a number."""
    return next(one for one in ROUTES if one["id"] == _id(number))


def _id(number: int) -> str:
    return f"5a4d7200-0000-4000-8000-{number:012d}"


def _route(number: int, name: str, *parts: list, under: tuple = ()) -> dict:
    """A route, its steps in as many lists as are easy to read, over one substrate, or one of several."""
    told = {"substrates": list(under)} if under else {}
    return {"id": _id(number), "name": name, **told, "steps": [one for part in parts for one in part]}


def _carded(one: dict) -> dict:
    """A step that names its bench card where the rule for it could not tell."""
    return {**one, "card": OF_WORDS[one["words"]]} if one["words"] in OF_WORDS else one


def _ranked(*routes: dict) -> list[dict]:
    """Each with its place in the list, and its steps numbered."""
    return [
        {
            **route,
            "rank": rank,
            "steps": [{"id": str(at), **_carded(one)} for at, one in enumerate(route["steps"], start=1)],
        }
        for rank, route in enumerate(routes, start=1)
    ]


UNDERSIDE, OUTSIDE = later("underside [[of a panel]]"), later("outside [[of a panel]]")
# On aluminium and zinc filler does not hold as it does on steel: primer first, and paper of its own.
METAL_FIRST = only(by.LIGHT_METAL, by.EPOXY, by.SCUFF)
STRIP = [
    *only(
        by.NOT_LIGHT_METAL,
        sand(
            later("Strip and feather P80"),
            80,
            why=later("Filler holds on bare metal in scratches of P80. Strip two fingers wider than the dent."),
        ),
    ),
    *only(by.LIGHT_METAL, sand(later("Strip and feather P120"), 120)),
]
STRAIGHTEN = step(
    "clean",
    later("Straighten as close as it goes"),
    why=later("Filler evens out what is left. High spots are tapped down now: nobody fills them away."),
)
WET_ON_WET = step(
    "coat",
    later("Wet-on-wet primer"),
    "sealer",
    use="sealer",
    why=later("Base goes on without sanding, inside its window: the part is painted the same day."),
)
BLENDED = step(
    "coat",
    later("Base, blended out"),
    "base",
    2,
    use="base",
    why=later("Only as far as the colour needs it: each coat a hand wider than the last, thin at its edge."),
)
RELEASE = step(
    "clean",
    later("Warm it, wash it, wash it again"),
    why=later(
        "A raw part sweats out what it was taken from the mould with. Water must lie on it as a film, not in beads."
    ),
)
CHOOSE_CAN = later("Of one maker, primer to clear: cans of two can lift each other.")
FROM_A_CAN = {
    "primer": step("coat", later("Primer from a can"), "surfacer", 2, use="surfacer", why=CHOOSE_CAN),
    "base": step("coat", later("Base from a can"), "base", 3, use="base", why=CHOOSE_CAN),
    "clear": step(
        "coat",
        later("Clear from a can"),
        "clear",
        2,
        use="clear",
        why=later("1K clear wrinkles when the next coat comes after its window and before it is through."),
    ),
}
BUMPER_PAINT = [by.REMASK, by.TACK, *by.COLOUR, *by.AFTER]

ROUTES = _ranked(
    _route(
        7,
        later("Dent, with filler"),
        [by.LOOK, by.DEGREASE, STRAIGHTEN, *STRIP, by.CLEAN, *METAL_FIRST, *by.FILLED, by.SURFACER],
        [*by.BLOCK, *by.PAINT],
        under=METALS,
    ),
    _route(
        1,
        later("Chips and small dings, painted panel"),
        [by.DEGREASE, sand(later("Feather-edge P180"), 180), by.CLEAN, by.GLAZE, by.FLATTEN, by.CLEAN, by.SPOT],
        [by.SURFACER, *by.BLOCK, *by.PAINT],
    ),
    _route(
        12,
        later("Spray cans at home"),
        [by.DEGREASE, sand(later("Feather-edge P180"), 180), sand(later("Sand P320 [[do it]]"), 320), by.CLEAN],
        [*only(["plastic"], by.PROMOTER), FROM_A_CAN["primer"], by.FINAL, by.TACK, FROM_A_CAN["base"]],
        [FROM_A_CAN["clear"], *by.AFTER],
        under=("steel", "plastic", "paint"),
    ),
    _route(
        2,
        later("Bare-metal spot, epoxy first"),
        [by.DEGREASE, sand(later("Strip the spot, feather-edge P180"), 180), by.CLEAN, by.EPOXY, by.SCUFF],
        [*by.FILLED, by.SURFACER, *by.BLOCK, *by.PAINT],
        under=METALS,
    ),
    _route(
        8,
        later("New part, wet on wet the same day"),
        [by.DEGREASE, by.FACTORY_COAT, sand(later("Scuff P400, or a grey pad"), 400), by.SEAM, by.CLEAN, by.TACK],
        [WET_ON_WET, *by.COLOUR, *by.AFTER],
        under=("factory",),
    ),
    _route(
        3,
        later("New part, sanded"),
        [by.DEGREASE, by.FACTORY_COAT, sand(later("Scuff P320 [[make it rough]]"), 320), by.SEAM, by.CLEAN],
        [by.SPOT, by.SURFACER, *by.BLOCK, *by.PAINT],
        under=("factory",),
    ),
    _route(
        9,
        later("Used part: outside blocked, underside sealed"),
        [by.DEGREASE, by.LOOK],
        on(UNDERSIDE, sand(later("Scuff P400, or a grey pad"), 400), by.CLEAN, by.TACK, by.SEALER, *by.COLOUR),
        on(OUTSIDE, sand(later("Feather-edge P180"), 180), by.CLEAN, by.SPOT, by.SURFACER, *by.BLOCK, by.REMASK),
        on(OUTSIDE, by.TACK, by.SEALER, *by.COLOUR),
        by.AFTER,
    ),
    _route(
        10,
        later("Plastic bumper, raw"),
        [RELEASE, sand(later("Scuff P400, or a grey pad"), 400), by.CLEAN, by.PROMOTER, by.SURFACER],
        [*by.BLOCK_PLASTIC, *BUMPER_PAINT],
        under=("plastic",),
    ),
    _route(
        4,
        later("Plastic bumper, painted"),
        [by.DEGREASE, sand(later("Scuff and feather-edge P320"), 320), by.CLEAN, by.PROMOTER_WHERE_RAW, by.SURFACER],
        [*by.BLOCK_PLASTIC, *BUMPER_PAINT],
        under=("plastic",),
    ),
    _route(
        11,
        later("Blend into the next panel"),
        [by.DEGREASE, sand(later("Scuff P1000, or a grey pad and paste"), 1000), by.REMASK, by.TACK, BLENDED],
        [*only(["effect"], by.DROP), by.CLEAR, *by.AFTER],
    ),
    _route(
        5,
        later("Old finish, stripped to metal"),
        [by.DEGREASE, sand(later("Strip to metal P80"), 80), sand(later("Sand P120 [[do it]]"), 120), by.CLEAN],
        [by.EPOXY, by.SCUFF, *by.FILLED, by.SURFACER, *by.BLOCK, *by.PAINT],
        under=METALS,
    ),
    _route(
        6,
        later("Touch-in of an edge"),
        [by.DEGREASE, sand(later("Feather the edge P320"), 320), by.CLEAN, by.SPOT],
        [sand(later("Scuff P600 [[make it rough]]"), 600), *by.PAINT],
    ),
)
