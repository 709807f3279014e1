"""What a route says beside its steps, and what was chosen for a panel that goes by it: fields and limits as data."""

from ..base.translate import later
from ..fold.route import COLOURS, FINISHES, SUBSTRATES
from .schema import MISSING, Field, box, choice, many, number

FINISH = choice("finish", later("How straight it must be"), FINISHES, MISSING)
COLOUR = choice("colour", later("The kind of colour"), COLOURS, MISSING)
SUBSTRATE = choice("substrate", later("What is under it"), SUBSTRATES, MISSING)
CHOICES = box("choices", [FINISH, COLOUR, SUBSTRATE], later("What was chosen is missing. Nothing was saved."), MISSING)
WHEN = many(
    "when",
    choice("", later("What a step is for"), (*FINISHES, *COLOURS, *SUBSTRATES)),
    0,
    15,
    later("A step may be for 15 choices. Nothing was saved."),
    MISSING,
)
OF_A_ROUTE = [
    many(
        "substrates",
        choice("", later("What is under it"), SUBSTRATES),
        0,
        7,
        later("A route may be for 7 substrates. Nothing was saved."),
        MISSING,
    ),
    number("rank", later("The place in the list"), 0, 1000, MISSING),
]


def chosen_from(steps: Field) -> Field:
    """The steps of a route: each may say which choices it is for."""
    (step,) = steps["of"]
    return {**steps, "of": [{**step, "of": [*step["of"], WHEN]}]}
