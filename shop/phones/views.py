"""The view of the recovery phrase."""

from django.http import HttpRequest, HttpResponse

from ..base import partials
from ..models import Shop
from ..security import access, audit_log, client_address
from ..security.guards import at_now, own_page_only
from . import recovery_phrase


@own_page_only
@at_now
def recovery(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper makes a new recovery phrase; it is shown this once, and the one before is void."""
    keeper = access.keeper_of(request, at_ms)
    phrase = recovery_phrase.make(keeper)
    audit_log.event("phrase-made", client_address.client_address(request), keeper)
    return partials.answer(
        request, {"phrase": phrase}, "shop/recovery.html", lambda: recovery_context(request, keeper.shop, phrase)
    )


def recovery_context(request: HttpRequest, shop: Shop, phrase: str = "") -> dict[str, object]:
    """What the part of the room on the phrase is drawn from: `phrase` only where it was made just now."""
    made = bool(phrase or shop.phrase_hash)
    return {"phrase": phrase, "made": made, "shop": shop, "address": partials.page_address(request)}
