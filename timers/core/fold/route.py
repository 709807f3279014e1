"""A route made fit for one job: which of its steps that job needs.  Twin: static/js/core/fold/route.js

How straight it must be, what colour goes on and what is under it change the steps of a route, never a clock.
"""

from typing import TypedDict

from ..base.step_shapes import Choices, GivenStep, Route

FINISHES = ("straight", "enough")  # guide coat and long block until it is straight; or good enough for one's own van
COLOURS = ("plain", "effect", "single")  # base and clear; the same with a drop coat; single stage, no clear
SUBSTRATES = ("steel", "aluminium", "galvanised", "plastic", "factory", "paint", "unknown")


class Asks(TypedDict):
    """What a route asks before it begins; `substrates` are those to choose from, beside "unknown"."""

    finish: bool
    colours: list[str]
    substrates: list[str]


def steps_for(route: Route, choices: Choices) -> list[GivenStep]:
    """The steps of a route that a job needs, as they were numbered.

    Rule     a step with `when` is left out where the words of one kind in it (finish, colour, substrate) do not hold
             the one that was chosen, or is usual where none was; what `when` says nothing of does not matter
    Unit     none
    Holds    any checked route; a step without `when` always stays
    Source   our own rule
    Vectors  tests/vectors/route.json
    """
    chosen: Choices = {**usual(route), **choices}
    return [_plain(step) for step in route["steps"] if _is_needed(step.get("when", []), chosen)]


def asks(route: Route) -> Asks:
    """What a route asks: only what changes its steps, or what its cards warn of.

    Rule     the finish where a step goes by it; the colours that its steps name; the substrates that the route names,
             none where there is one alone: that is what it is
    Unit     none
    Holds    any checked route
    Source   our own rule
    Vectors  tests/vectors/route.json
    """
    said = {word for step in route["steps"] for word in step.get("when", [])}
    named = route.get("substrates", [])
    return {
        "finish": any(one in said for one in FINISHES),
        "colours": [one for one in COLOURS if one in said or one == "plain"] if said & set(COLOURS) else [],
        "substrates": list(named) if len(named) > 1 else [],
    }


def usual(route: Route) -> Choices:
    """What is chosen while nobody chose: straight, base and clear, and the one substrate that the route names."""
    named = route.get("substrates", [])
    return {"finish": "straight", "colour": "plain", "substrate": named[0] if len(named) == 1 else "unknown"}


def _is_needed(when: list[str], chosen: Choices) -> bool:
    kinds = ((FINISHES, chosen["finish"]), (COLOURS, chosen["colour"]), (SUBSTRATES, chosen["substrate"]))
    return all(one in when or not any(word in when for word in kind) for kind, one in kinds)


def _plain(step: GivenStep) -> GivenStep:
    """A step as a panel has it."""
    plain: GivenStep = {**step}
    plain.pop("when", None)
    return plain
