"""What the keys of rings call films and cups.  Twin: static/js/core/card/ring_keys.js

What was corrected has keys of its own, with a mark of the correction: what rang by what was entered first is withdrawn
on every phone, and what is so rings at its moment, whatever rang or was silenced before.
"""

from ..base.states import CupState, PanelState
from ..fold import finishing

MOST_FILMS = 20  # as many as a key names


def of_films(film_ids: list[str], state: PanelState) -> str:
    """The last films of a list by the ends of their ids: "0a12b3c4d5e6,1b2c3d4e5f60.9a3f".

    Rule     at most 20 of them; of one that was corrected, a dot and the end of the newest correction's id
    Unit     none
    Holds    any folded panel
    Source   our own rule
    Vectors  tests/vectors/due.json
    """
    marks = {one["id"]: f".{one['corrected'][0][-4:]}" for one in state["films"] if "corrected" in one}
    return ",".join(film_id[-12:] + marks.get(film_id, "") for film_id in film_ids[-MOST_FILMS:])


def since(film_ids: list[str], state: PanelState) -> int:
    """The last moment at which a step of a panel was done or one of some films corrected; what had opened by then was
    seen there, and does not ring."""
    films = set(film_ids)
    fixed = [one["corrected"][1] for one in state["films"] if one["id"] in films and "corrected" in one]
    return max([0, *fixed, *(one["done_at"] or 0 for one in finishing.steps(state))])


def of_cup(state: CupState) -> str:
    """What a cup's keys end with: nothing, or a blank and the end of the id of its mixing's newest correction."""
    return f" {state['corrected'][0][-4:]}" if "corrected" in state else ""
