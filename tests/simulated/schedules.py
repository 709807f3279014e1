"""Runs schedules of the real client in a page of Debian's Chromium."""

import contextlib

from tests.simulated import linked
from timers.defaults.products import PRODUCTS

ADDRESS = "http://phones.test/"
PRODUCTS_USED = [PRODUCTS[1], PRODUCTS[5]]
RUN = """async ([first, count, options]) => (await import("/run.js")).run(first, count, options)"""


@contextlib.contextmanager
def page_of(chromium, sources: dict[str, str] | None = None):
    """A page whose scripts are those of tests/simulated/client, with the product's modules (or other `sources`) as
    client.js."""
    context = chromium.new_context()
    client = linked.text(sources)

    def answer(route):
        name = route.request.url.removeprefix(ADDRESS)
        if name == "":
            return route.fulfill(body="<title>phones</title>", content_type="text/html")
        text = client if name == "client.js" else (linked.FOLDER / name).read_text("utf-8")
        return route.fulfill(body=text, content_type="text/javascript")

    context.route("**/*", answer)
    page = context.new_page()
    page.goto(ADDRESS)
    yield page
    context.close()


def run(page, first: int, count: int, **options) -> dict:
    """What the page tells of schedules: {"counts", "events", "failed": [{"seed", "why"}], "posts"}.  With `stops` it
    ends at the first that fails; with `keepsPosts` it tells what the small server was asked and answered."""
    return page.evaluate(RUN, [first, count, {"products": PRODUCTS_USED, **options}])
