"""What a page may load and run: from this host, and nothing that stands in the markup."""

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
PLAIN = (  # what an answer carries that Django never sees
    (b"content-type", b"text/plain; charset=utf-8"),
    (b"cache-control", b"no-store"),
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
)


def content_policy(get_response):
    """Middleware: the strict content security policy, on every answer that runs something; a policy on a style sheet or
    a module would only be bytes."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if not request.path.startswith(settings.STATIC_URL):
            response.headers.setdefault("Content-Security-Policy", POLICY)
            response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response

    return answer
