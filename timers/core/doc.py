"""What a step, a sheet, a product and a route must hold, each whole: the fields are in sheets.py."""

from .conform import check_value
from .sheets import A_PRODUCT, A_ROUTE, A_SHEET, CLASSES, DOES, GATES, STEPS

__all__ = ["CLASSES", "DOES", "GATES", "check_doc", "check_sheet", "check_steps"]


def check_steps(steps: object) -> None:
    """Up to 100 steps, each with an id of its own."""
    check_value(steps, STEPS, {})


def check_sheet(sheet: object) -> None:
    """What a film keeps of its product."""
    check_value(sheet, A_SHEET, {})


def check_doc(kind: str, doc: object) -> None:
    """A product or a route, whole, by the kind of act that writes it."""
    check_value(doc, A_ROUTE if kind == "route_written" else A_PRODUCT, {})
