"""Errors that refuse a request, and the one place that turns them into answers.

A view raises; `ErrorMiddleware` answers with the error's status and its text, which is written for the person, and
counts it in the security log where the error has a cause.
"""

from typing import Self

from django.http import HttpRequest, HttpResponse
from django.utils.cache import add_never_cache_headers

from ..base.i18n import t
from ..models import Phone
from . import audit_log, client_address

STATUSES: dict[type[Exception], int] = {}  # of errors from rules that know nothing of HTTP: type -> status


class UserError(Exception):
    """A request that is refused.  The text says why, to the person.

    `status` is the HTTP status, `headers` go into the answer; `cause` is the word for the security log ("": not
    logged), `phone` the phone to name there.
    """

    status = 400
    cause = ""

    def __init__(self, text: str, phone: Phone | None = None, cause: str | None = None):
        super().__init__(text)
        self.phone, self.headers = phone, {}
        if cause is not None:
            self.cause = cause

    def reworded(self, text: str) -> Self:
        """The same error with another text."""
        self.args = (text,)
        return self


class BadRequest(UserError):
    """A field of the request is wrong, or what it asks for cannot be."""


class UnknownPhone(UserError):
    """The request comes from no phone of any shop."""

    status = 401

    def __init__(self, text: str = "", phone: Phone | None = None):
        super().__init__(text or t("This phone belongs to no shop here. What it holds stays on it."), phone)
        self.headers = {"Sandtime-Phone": "unknown"}


class EndedPhone(UnknownPhone):
    """The request comes from a phone that a keeper has ended."""

    def __init__(self, phone: Phone):
        super().__init__(t("This phone was ended by a keeper. What it holds stays on it."), phone)
        self.headers = {"Sandtime-Phone": "ended"}


class Forbidden(UserError):
    """Whoever asks is known, or need not be, and may not do this."""

    status = 403
    cause = "not-allowed"


class TooLarge(UserError):
    """The request carries more than is taken at once."""

    status = 413


class RateLimited(UserError):
    """Too many requests; the text says when to try again, and so does Retry-After where they are given."""

    status = 429
    cause = "too-often"

    def __init__(self, text: str, phone: Phone | None = None, cause: str | None = None, retry_after_s: int = 0):
        super().__init__(text, phone, cause)
        if retry_after_s:
            self.headers = {"Retry-After": str(retry_after_s)}


class ErrorMiddleware:
    """Answers errors that refuse a request; all others go on to Django."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        return answer(request, error)


def answer(request: HttpRequest, error: Exception) -> HttpResponse | None:
    """The answer to an error, in one plain sentence that no cache keeps; None for an error that refuses nothing."""
    if isinstance(error, UserError):
        status, headers = error.status, error.headers
        if error.cause:
            audit_log.refusal(error.cause, client_address.client_address(request), error.phone)
    else:
        status, headers = next((status for kind, status in STATUSES.items() if isinstance(error, kind)), None), {}
    if status is None:
        return None
    response = HttpResponse(str(error), status=status, content_type="text/plain; charset=utf-8", headers=headers)
    add_never_cache_headers(response)
    return response
