"""What is read on a panel itself, laid over a trace of the air.  Twin: static/js/core/clock/heat.js"""

from ..base.shapes import Surface, Trace, TraceStep
from ..fold.order import first_after, first_from


def at(steps: Trace, now_ms: int) -> TraceStep:
    """The step of a trace in force at a moment."""
    return steps[max(0, first_after(steps, now_ms) - 1)]


def rule_over(steps: Trace, surface: Surface) -> None:
    """A surface reading rules over the air of a trace; what is damp stays damp under a lamp."""
    begin, end, temp = surface[:3]
    if len(surface) == 5:
        warm_end = begin + surface[3] if end is None else min(begin + surface[3], end)
        _widen(steps, begin, warm_end, temp)
        if warm_end != end:
            rule_over(steps, (warm_end, end, temp))
        if end is not None:
            _widen(steps, end, end + surface[4], temp)
        return
    first = first_from(steps, begin)
    if end is None:
        steps[first:] = [(begin, temp, temp, at(steps, begin)[3])]
        return
    past = first_after(steps, end)
    felt = [at(steps, begin), *steps[first_after(steps, begin) : past]]
    damp = max((step[3] for step in felt if step[3] is not None), default=None)
    _, low, high, damp_after = at(steps, end)
    steps[first:past] = [(begin, temp, temp, damp), (end, low, high, damp_after)]


def _widen(steps: Trace, begin: int, end: int, temp: int) -> None:
    """From one moment to another the panel may be as cold as the colder and as hot as the hotter of air and heat."""
    if begin >= end:
        return
    for moment in (begin, end):
        place = first_from(steps, moment)
        if place == len(steps) or steps[place][0] != moment:
            steps.insert(place, (moment, *at(steps, moment)[1:]))
    for place in range(first_from(steps, begin), first_from(steps, end)):
        from_ms, low, high, damp = steps[place]
        steps[place] = (from_ms, min(low, temp), max(high, temp), damp)
