"""The phone's own scripts as one text that can begin many times over, each time with other powers of the browser.

The modules are those of static/js, wrapped by the bundler that the product is served by (shop/shell/bundle.py), one
function around them all: a page is one call of it.  What only paints or speaks is left out (SHADES); all that keeps,
posts, takes in and folds is the real thing.
"""

import re
from pathlib import Path

from shop.base import scripts
from shop.shell import bundle

FOLDER = Path(__file__).parent / "client"
ROOTS = [
    "app/boot.js",
    "app/online.js",
    "data/acts.js",
    "ui/record.js",
    "sync/live.js",
    *bundle.frontend.bundles["recovery"],
]
LATE = re.compile(r"""\bimport\(["']\./(?P<bundle>\w+)\.js["']\)""")
# Modules that only paint or speak: the page is given something in their place (client/page.js).
SHADES = {
    *(
        "screens/floor.js",
        "screens/signal.js",
        "screens/meanwhile.js",
        "ui/router.js",
        "ui/notice.js",
        "ui/describe.js",
    ),
    *("ui/export_taps.js", "app/notices.js", "app/quota_notice.js", "app/actions.js"),
}
# The powers of the browser that a page is given its own of.
POWERS = """
Date Math performance setTimeout clearTimeout setInterval clearInterval requestAnimationFrame indexedDB
navigator document location innerWidth innerHeight addEventListener removeEventListener dispatchEvent BroadcastChannel
EventSource fetch XMLHttpRequest crypto globalThis window self localStorage sessionStorage
"""


def modules() -> dict[str, str]:
    """Every module that a page runs, dependencies first: its place under static/js and its source."""
    order: list[str] = []

    def visit(path: str):
        if path in SHADES or path in order:
            return
        for imported in bundle._imports(path):
            visit(imported)
        order.append(path)

    for root in ROOTS:
        visit(root)
    return {path: scripts.text(path) for path in order}


def text(sources: dict[str, str] | None = None) -> str:
    """The script: `page(powers, shades, arrive)` begins a page and returns its modules by their constants; `core` are
    the rules alone, for the small server."""
    sources = sources or modules()
    wraps = {path: _wrapped(path, source) for path, source in sources.items()}
    core = [path for path in wraps if path.startswith("core/")]
    shades = "\n".join(f"const {bundle._constant(path)} = shades[{path!r}];" for path in sorted(SHADES))
    inside = "\n".join([shades, *wraps.values(), _given([*sorted(SHADES), *wraps])])
    alone = "\n".join([*(wraps[path] for path in core), _given(core)])
    return (
        f"export function page({{ {', '.join(POWERS.split())} }}, shades, arrive) {{\n{inside}\n}}\n"
        f"export const core = (() => {{\n{alone}\n}})();\n"
    )


def _wrapped(path: str, source: str) -> str:
    return LATE.sub(lambda match: f'arrive("{match["bundle"]}", () => lots)', bundle.wrap(path, source))


def _given(paths) -> str:
    return f"const lots = {{ {', '.join(map(bundle._constant, paths))} }};\nreturn lots;"
