"""The shapes of steps, of routes and of what was chosen for a job.  Types only."""

from typing import NotRequired, TypedDict


class GivenStep(TypedDict):
    """A step as a route or an act holds it."""

    id: str
    do: str  # "sand", "fill", "clean", "coat", "check"
    words: str
    cls: NotRequired[str]
    use: NotRequired[str]  # what its product must serve, where the class alone does not say it
    coats: NotRequired[int]
    grit: NotRequired[int]
    area: NotRequired[str]
    needs: NotRequired[str]  # "nothing", "flash", "sand", "handle", "cure"; without it what its kind needs (clock_step)
    card: NotRequired[str]
    why: NotRequired[str]  # it waits for that, in one line
    when: NotRequired[list[str]]  # of a route's step: the choices it is for; without it for all


class Route(TypedDict):
    name: str
    steps: list[GivenStep]
    substrates: NotRequired[list[str]]  # what it is for: one, or those to choose from
    rank: NotRequired[int]  # its place in the list


class Choices(TypedDict):
    """What was chosen for a job, as far as it was asked."""

    finish: NotRequired[str]  # "straight", "enough"
    colour: NotRequired[str]  # "plain", "effect", "single"
    substrate: NotRequired[str]  # what is under it
