"""The shapes of what the rules are given: sheets, products, routes, acts, the zone.  Types only; what the rules make of
them is in `states`.

Rows are tuples here and lists where they were read from JSON: take them apart or by place, never compare the two.
`NotRequired` may be missing, in what a person left out or an earlier version folded.  Moments are ms since 1970 UTC,
durations ms, temperatures tenths of a degree C, humidities per mille.
"""

from typing import Literal, NotRequired, Protocol, TypeAlias, TypedDict, TypeVar

from .step_shapes import Choices, GivenStep, Route

K = TypeVar("K")
V = TypeVar("V")
Ordered = dict[K, V]  # keys in the order they came, on the phone too: a Map there


class Zone(Protocol):
    """The clock on the shop's wall."""

    hours: str  # "24" or "12": how far it counts

    def minutes_east(self, at_ms: int, /) -> int:
        """Minutes east of UTC at a moment."""


# Rows of the air.  A step of a trace lasts until the next, the last for good; COLD and HOT (`cure`) are places in it.
Reading: TypeAlias = tuple[int, int, int | None]  # at_ms, temp_dc, rh_pm
Expected: TypeAlias = tuple[int, int]  # for_ms, temp_dc
# from_ms, until_ms, temp_dc; where it takes its time also warm_ms and cool_ms
Surface: TypeAlias = tuple[int, int | None, int] | tuple[int, int | None, int, int, int]
TraceStep: TypeAlias = tuple[int, int, int, int | None]  # from_ms, low_dc, high_dc, damper_pm (may be missing)
Trace: TypeAlias = list[TraceStep]
Silences: TypeAlias = dict[str, int | None]  # by the key under which a ring rang first: until when, None for good
Correction: TypeAlias = tuple[str, int]  # the id of the newest act that corrected another, and its moment
Point: TypeAlias = tuple[int, int, int]  # a line of a sheet: temp_dc, the shorter and the longer time
Gates: TypeAlias = dict[str, list[Point]]  # by gate, lines by rising temperature


class Sheet(TypedDict):
    """What a film and a cup keep of their product."""

    name: str
    cls: str
    gates: Gates
    variant: NotRequired[str]
    typical: NotRequired[bool]
    lowest_dc: NotRequired[int | None]
    highest_dc: NotRequired[int | None]
    cure_lowest_dc: NotRequired[int | None]  # where they differ from those to apply at
    cure_highest_dc: NotRequired[int | None]
    double_dc: NotRequired[int | None]
    sheet_rh_pm: NotRequired[int | None]
    lead_ms: NotRequired[int | None]


class GateSide(TypedDict):
    """One gate of a sheet from one side, opening or closing: what `cure` reckons with."""

    points: list[tuple[int, int]]  # temp_dc, wait_ms; by rising temperature
    lowest_dc: NotRequired[int | None]
    highest_dc: NotRequired[int | None]
    double_dc: NotRequired[int | None]
    rh_pm: NotRequired[int | None]  # of a waterborne product's flash: the humidity of the sheet's times


class VariantFigures(TypedDict):
    """What a variant says otherwise than its product; what it leaves out is the product's."""

    lowest_dc: NotRequired[int | None]
    highest_dc: NotRequired[int | None]
    cure_lowest_dc: NotRequired[int | None]
    cure_highest_dc: NotRequired[int | None]
    highest_rh_pm: NotRequired[int | None]
    solids_pm: NotRequired[int | None]
    solids_of: NotRequired[str | None]
    hardener_solids_pm: NotRequired[int | None]
    film_um: NotRequired[int | None]
    coats: NotRequired[int | None]
    tip_um: NotRequired[int | None]
    hardener: NotRequired[str | None]
    densities_g_l: NotRequired[list[int] | None]
    vocs_g_l: NotRequired[list[int] | None]
    waters_g_l: NotRequired[list[int] | None]


class Variant(VariantFigures):
    id: str
    name: str
    use: NotRequired[str]  # what it is mixed for, "" for whatever its product is for
    band_dc: NotRequired[list[int] | None]  # the temperatures it is meant for: from, to
    gates: NotRequired[Gates]
    ratio: NotRequired["Ratio | None"]  # where it is mixed otherwise than the product


class CoatGates(TypedDict):
    coat: int  # from this number of coats on
    gates: Gates


class Ratio(TypedDict):
    by: str  # "volume" or "weight"
    parts: list[int]
    names: NotRequired[list[str] | None]


class Ribbon(TypedDict):
    mm: int
    disc_mm: int


class Product(Sheet):
    """A product as it is on the shelf; its own name for what it is."""

    id: NotRequired[str]
    uses: NotRequired[list[str]]  # what it is for, where its class alone does not say it
    variants: NotRequired[list[Variant]]
    coat_gates: NotRequired[list[CoatGates]]
    highest_rh_pm: NotRequired[int | None]
    ratio: NotRequired[Ratio | None]
    densities_g_l: NotRequired[list[int] | None]
    vocs_g_l: NotRequired[list[int] | None]
    waters_g_l: NotRequired[list[int] | None]
    hardener_span_pm: NotRequired[list[int] | None]
    ribbon: NotRequired[Ribbon | None]
    solids_pm: NotRequired[int | None]
    solids_of: NotRequired[str | None]  # "tin", "mixed" (also where it is missing), "ready"
    hardener_solids_pm: NotRequired[int | None]
    film_um: NotRequired[int | None]
    coats: NotRequired[int | None]
    tip_um: NotRequired[int | None]
    hardener: NotRequired[str | None]  # what hurts in it, by figures.HARDENERS; without it what its class has
    in_can: NotRequired[bool]  # ready to spray, under pressure
    before_p: NotRequired[int | None]
    after_p: NotRequired[int | None]
    notes: NotRequired[str]
    sheet_date: NotRequired[str]


PartFigures: TypeAlias = Literal["densities_g_l", "vocs_g_l", "waters_g_l"]
GunKey: TypeAlias = Literal["pressure_kpa", "tip_um", "turns_tenths", "distance_mm", "fan"]

_ActFor = TypedDict("_ActFor", {"for": NotRequired[list[str]]})


class Act(_ActFor):
    """A checked act.  Beyond the first four, a kind has the fields that `fields` asks of it and no others."""

    id: str
    at: int
    on: str
    kind: str
    who: NotRequired[str | None]
    act: NotRequired[str]
    amounts: NotRequired[list[int]]
    area: NotRequired[str]
    ask_at: NotRequired[int]
    at_ms: NotRequired[int | None]  # of a correction: when it was
    before: NotRequired[str | None]
    choices: NotRequired[Choices]
    by: NotRequired[str]  # of a cup "volume" or "weight"; of a panel taken the phone
    coat: NotRequired[int]
    coats_on: NotRequired[int | None]
    corrected: NotRequired[Correction]  # where it was: no act has it as it is made
    cup: NotRequired[str | None]
    distance_mm: NotRequired[int | None]
    doc: NotRequired[Product | Route]
    fan: NotRequired[str | None]
    film: NotRequired[str | None]
    films: NotRequired[list[str]]
    for_ms: NotRequired[int]
    gate: NotRequired[str]
    gun: NotRequired[str]
    heard: NotRequired[str]
    job: NotRequired[str]
    late_ms: NotRequired[int | None]
    left: NotRequired[int]
    locked: NotRequired[bool]
    name: NotRequired[str]
    names: NotRequired[list[str]]
    note: NotRequired[str]
    of: NotRequired[str]  # of a correction: the kind of the act that it corrects
    over: NotRequired[list[str] | None]
    panel: NotRequired[str]
    person: NotRequired[str]
    phone: NotRequired[str]
    pressure_kpa: NotRequired[int | None]
    product: NotRequired[str]
    rh_pm: NotRequired[int | None]
    ring: NotRequired[str]
    route: NotRequired[str]
    sheet: NotRequired[Sheet]
    step: NotRequired[GivenStep | str | None]  # the whole step where one is added, else its id
    steps: NotRequired[list[GivenStep]]
    temp_dc: NotRequired[int]
    tip_um: NotRequired[int | None]
    to: NotRequired[str]
    turns_tenths: NotRequired[int | None]
    units: NotRequired[dict[str, str]]
    warm_ms: NotRequired[int | None]
    cool_ms: NotRequired[int | None]
    until_ms: NotRequired[int | None]
    ways: NotRequired[list[str]]
    why: NotRequired[str]


class FilmLaid(TypedDict):
    """An act of the kind film_laid: a coat of a product on an area of a panel."""

    id: str
    at: int
    on: str
    kind: str
    who: NotRequired[str | None]
    film: str
    step: NotRequired[str | None]
    area: NotRequired[str]
    coat: int
    coats_on: NotRequired[int | None]  # of the step, with this one, where some before it were not recorded
    product: str
    sheet: Sheet
    cup: NotRequired[str | None]
    corrected: NotRequired[Correction]


class StepAdded(TypedDict):
    """An act of the kind step_added: a step of its own, before another or at the end."""

    id: str
    at: int
    on: str
    kind: str
    who: NotRequired[str | None]
    step: GivenStep
    before: NotRequired[str | None]
