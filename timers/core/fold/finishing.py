"""What a panel goes on with after its last coat of clear, where its route does not say so: routes and panels of before.

Twin: static/js/core/fold/finishing.js
"""

from ..base.shapes import Gates
from ..base.states import Film, PanelState, PanelStep
from ..base.translate import later, t
from ..base.units import DAY_MS, HOUR_MS
from . import top_films

LAYS = ("fill", "coat")
CLEAR = "clear"  # the class of the last coat
UNMASK, REFIT, POLISH = later("Unmask"), later("Refit"), later("Denib and polish")
WASH, WAX = later("First wash"), later("First wax")
WHY = {
    UNMASK: later("While the clear is still soft: hard clear tears along the tape. Keep off the coat itself."),
    REFIT: later("By the edges and with care: no clamp, no cover, no tape on fresh clear. Do not bake it now."),
    POLISH: later(
        "Too early it clogs and dulls again. Sand wet: dust of fresh 2K clear can still hold isocyanates. Gloves, and "
        "breathing protection as the safety data sheet says."
    ),
    WASH: later("Brush, jet and shampoo mark a film that is still soft. Rain and plain water do it no harm."),
    WAX: later("Wax and sealant close the film: what is left of the solvent must be out first."),
}
AFTER = [("after.refit", REFIT, "handle"), ("after.polish", POLISH, "sand"), ("after.wash", WASH, "cure")]
AFTER += [("after.wax", WAX, "cure")]
IDS = [step_id for step_id, _, _ in AFTER]
# Common practice, no source: 20 to 25 C, air dry.  A typical sheet of before says neither.
TYPICAL: Gates = {
    "handle": [(200, 4 * HOUR_MS, 8 * HOUR_MS), (250, 4 * HOUR_MS, 8 * HOUR_MS)],
    "cure": [(200, 7 * DAY_MS, 30 * DAY_MS), (250, 7 * DAY_MS, 30 * DAY_MS)],
}


def steps(state: PanelState) -> list[PanelStep]:
    """All steps of a panel, in the words of the one who reads: its own, and what follows its last coat.

    Rule     where the last work that lays a film is clear, all of it is laid, and no step behind it says what gate it
             needs, the panel goes on: refit, polish, first wash, first wax, as far as its films have a gate for that;
             what was done before the newest film does not count; nothing is polished where sanding follows anyway
    Unit     none
    Holds    any folded panel, also one that was folded before there was such a rule
    Source   our own rule; the order is common practice, no source
    Vectors  tests/vectors/finishing.json
    """
    own = state["steps"]
    laying = [nth for nth, step in enumerate(own) if step["do"] in LAYS]
    if any(own[nth]["done_at"] is None for nth in laying) or not laying or own[laying[-1]]["cls"] != CLEAR:
        return own
    behind = own[laying[-1] + 1 :]
    films = top_films.curing(state, "")
    if not films or any(one.get("needs", "nothing") != "nothing" for one in behind):
        return own
    gates = {gate for film in films for gate in completed(film)["sheet"]["gates"]}
    gates -= {"sand"} if any(one["do"] == "sand" for one in behind) else set()
    newest, acts = max(film["laid_at"] for film in films), state.get("after", {})
    wanted = [one for one in AFTER if one[2] in gates and acts.get(one[0], 0) is not None]
    return own + [_step(*one, _since(acts.get(one[0]), newest)) for one in wanted]


def completed(film: Film) -> Film:
    """A film of typical clear with the typical times of what follows it, where its sheet does not tell them yet."""
    sheet = film["sheet"]
    if sheet["cls"] != CLEAR or not sheet.get("typical") or TYPICAL.keys() <= sheet["gates"].keys():
        return film
    return {**film, "sheet": {**sheet, "gates": {**TYPICAL, **sheet["gates"]}}}


def _since(done_at: int | None, newest: int) -> int | None:
    return done_at if done_at is not None and done_at >= newest else None


def _step(step_id: str, words: str, needs: str, done_at: int | None) -> PanelStep:
    return {
        "id": step_id,
        "do": "clean",
        "words": t(words),
        "cls": "",
        "coats": 1,
        "grit": 0,
        "area": "",
        "needs": needs,
        "why": t(WHY[words]),
        "laid": 0,
        "done_at": done_at,
    }
