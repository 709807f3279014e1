"""The Content-Security-Policy: a page loads and runs what comes from this host, and nothing inline."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PERMISSIONS = (  # the camera is for codes
    "accelerometer=(), browsing-topics=(), display-capture=(), geolocation=(), gyroscope=(), microphone=(), "
    "payment=(), usb=()"
)
PLAIN = (  # headers of answers that do not come from Django
    (b"content-type", b"text/plain; charset=utf-8"),
    (b"cache-control", b"no-store"),
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
)


def content_policy(get_response):
    """Middleware: sets the strict policy on every answer but static files, where it would be dead weight."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if not request.path.startswith(settings.STATIC_URL):
            response.headers.setdefault("Content-Security-Policy", POLICY)
            response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response

    return answer
