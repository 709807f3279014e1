"""The shapes of what the rules make: folded states, clocks, cards, rings.  Types only; see also `shapes`.

Moments are ms since 1970 UTC, durations ms, temperatures tenths of a degree C, humidities per mille.
"""

from typing import NotRequired, TypedDict, final

from .shapes import Correction, Expected, Product, Reading, Sheet, Silences, Surface
from .step_shapes import Choices, Route


class AirState(TypedDict):
    readings: list[Reading]
    expected: NotRequired[list[Expected]]


class PhoneName(TypedDict):
    name: str
    person: str


class Trial(TypedDict):  # the last trial ring of a phone
    at: int
    ways: list[str]
    locked: bool
    heard: str  # "yes", "late", "no"
    late_ms: int | None


class ShopState(TypedDict):
    name: str
    units: dict[str, str]  # by house.UNITS
    phones: dict[str, PhoneName]
    trials: dict[str, Trial]


class Rival(TypedDict):
    id: str  # of the act that wrote it
    doc: Product | Route


class ShelfState(TypedDict):
    """A product or a route folded."""

    doc: Product | Route | None
    away_at: int | None
    head: str  # the act that wrote it last; "" where none did
    rivals: list[Rival]
    guns: dict[str, dict[str, int | str]]  # of each gun its set-up, by shelf.GUN


# What may be laid at a step: the ids of product and variant, and their names.
Offer = TypedDict("Offer", {"product": str, "variant": str, "name": str, "with": str})


class PanelStep(TypedDict):
    """A step of a panel; `laid` is how many coats went on at it, `needs` what it was told to need (clock_step)."""

    id: str
    do: str
    words: str
    cls: str
    coats: int
    grit: int
    area: str
    use: NotRequired[str]
    needs: NotRequired[str]
    card: NotRequired[str]  # the bench card it opens, where the step itself does not show which
    why: NotRequired[str]
    laid: int
    done_at: int | None


class LaidSheet(TypedDict):
    """As much of a film as its clocks need."""

    id: str
    laid_at: int
    sheet: Sheet
    ready: list[str]  # gates that it was found ready for
    ask: dict[str, int]  # by gate: when to ask again


class Film(LaidSheet):
    """One coat of one product on one area of a panel."""

    step: str | None
    area: str
    coat: int
    product: str
    sanded: list[str]  # areas that were sanded since
    who: NotRequired[str | None]
    corrected: NotRequired[Correction]  # where what was said of it was corrected
    both: NotRequired[list[str]]  # films that a person said are real beside this one


# Who works on a panel: the phone, the note for it, since when, and the phone that handed it over.
Taken = TypedDict("Taken", {"by": str, "note": str, "at": int, "from": str | None})


@final
class PanelState(TypedDict):
    name: str
    job: str
    added_at: int | None
    away_at: int | None
    steps: list[PanelStep]
    films: list[Film]
    surfaces: NotRequired[list[Surface]]
    quiet: NotRequired[Silences]
    taken: NotRequired[Taken | None]
    choices: NotRequired[Choices]
    after: NotRequired[dict[str, int | None]]  # of what follows the last coat: when it was done, None where dropped


_CupFor = TypedDict("_CupFor", {"for": list[str]})


@final
class CupState(_CupFor):
    """`amounts` are whole ml by volume, tenths of a gram by weight."""

    mixed_at: int | None
    who: str | None
    product: str
    sheet: Sheet | None
    by: str  # "volume", "weight"; "" while nothing was mixed
    amounts: list[int]
    names: list[str]
    used: list[tuple[str, int]]  # panel, at_ms
    emptied_at: int | None
    left: int | None
    corrected: NotRequired[Correction]  # where what was said of its mixing was corrected
    quiet: NotRequired[Silences]


class Clocks(TypedDict):
    """The moments that rule a panel's step or a cup; None where there is no such moment."""

    gate: str  # "" where nothing is waited for
    laid_at: int | None
    opens_at: int | None
    shuts_at: int | None
    ask_at: int | None
    beyond: bool  # the sheet's own lines
    typical: bool
    lowest_dc: int | None
    highest_dc: int | None


class PanelTimes(Clocks):
    films: list[str]
    ready: bool
    again_at: NotRequired[int]  # a window that has shut opens again then
    step: NotRequired[str]  # of the later ones, which step it is
    later: NotRequired[list["PanelTimes"]]  # of steps behind this one that wait for other gates of the same films
    area: NotRequired[str]  # of one lane among several, which
    lanes: NotRequired[list["PanelTimes"]]  # of a panel with several lanes, of each; the rest is the first one's


class CupTimes(Clocks):
    induction: bool


class FilmTimes(TypedDict):
    """The moments of one film."""

    again_at: NotRequired[int]
    film: str
    laid_at: int
    opens_at: int | None
    shuts_at: int | None
    ask_at: int | None
    ready: bool
    beyond: bool
    typical: bool
    lowest_dc: int | None
    highest_dc: int | None


# The strip of a card: where now stands from 0 to 1000, and the clock times at its edges.
Strip = TypedDict("Strip", {"shape": str, "now": int, "from": str, "opens": str, "shuts": str})


class CardAside(TypedDict):
    """What a card says beside the rest: of two films alike, what opens next, why its step waits, what is under it."""

    twice: NotRequired[str]
    then: NotRequired[str]
    why: NotRequired[str]
    ground: NotRequired[str]


class PanelCard(CardAside):
    """All that a panel's card shows."""

    name: str
    job: str
    state: str
    word: str
    step: str
    place: str
    say: str
    left: str
    strip: Strip
    note: str
    taken: str
    laid: str
    buttons: list[str]
    main: str


class CupCard(TypedDict):  # all that it shows
    name: str
    meant: str
    step: str
    state: str
    word: str
    say: str
    left: str
    strip: Strip
    laid: str
    went: str
    note: str
    caution: str
    buttons: list[str]


class FloorRow(TypedDict):  # what the order of the floor goes by
    id: str
    name: str
    added_at: int | None
    mode: str
    step: str
    say: str
    opens_at: int | None
    shuts_at: int | None
    ask_at: int | None
    curing: NotRequired[bool]


class Ring(TypedDict):
    key: str
    kind: str
    gate: str
    at_ms: int
    since_ms: int
    until_ms: int | None  # of no use from then on
    area: NotRequired[str]  # the lane that rings, where a panel has several
