"""What a bench card holds: phrases, kept until somebody reads them in a language of their own."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """What can hurt, and the keys of SOURCES that say so; none of them: common practice, no source."""

    words: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Card:
    """One kind of step.  `first` is what is always seen; the rest is one tap away, at most eight lines a part."""

    key: str
    name: str
    drawing: str  # a file of templates/timers/drawings
    first: str
    shows: str  # what the drawing says, for who cannot see it and below it
    need: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()  # what goes wrong, and what then
    cautions: tuple[str, ...] = ()  # keys of CAUTIONS
    sources: tuple[str, ...] = ()  # keys of SOURCES, for what its own lines say
