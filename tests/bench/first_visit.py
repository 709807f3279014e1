"""Bytes that a first visit brings over the network, as compressed as they come.

Two lots, headers and all: what the page asks for until the floor stands and the shop is heard, and what the service
worker then fetches to keep.  Bare is the same content without requests: one brotli stream for each type.
"""

import urllib.request
from collections import Counter, defaultdict

import brotli

from .browser import Browser
from .rig import Row, folder, serving

AIM_ALL, AIM_SCRIPT = 70.0, 45.0


def measure() -> list[Row]:
    with folder() as where, serving(where) as server, Browser(where / "phone") as browser:
        page = browser.page()
        page.call("Network.enable")
        browser.call("Target.setAutoAttach", page.session, autoAttach=True, waitForDebuggerOnStart=True, flatten=True)
        page.go(server.address)
        events = _while_installing(browser, page)
        return _rows(*_sums(events, page.session))


def _while_installing(browser, page) -> list[dict]:
    """Everything the network said until the service worker has the shell."""
    worker = browser.wait(lambda event: event.get("method") == "Target.attachedToTarget" and _is_worker(event))
    session = worker["params"]["sessionId"]
    browser.send("Network.enable", session)
    browser.send("Runtime.runIfWaitingForDebugger", session)
    page.until("document.getElementById('signal-words').textContent === 'Saved.'")
    page.until("navigator.serviceWorker.ready.then(() => Boolean(navigator.serviceWorker.controller))")
    browser.gather(1)
    return browser.events


def _is_worker(event: dict) -> bool:
    return event["params"]["targetInfo"]["type"] == "service_worker"


def _sums(events: list[dict], page: str) -> tuple[dict, Counter, dict]:
    """Bytes by type and requests, of the page and of the service worker; the addresses the page got, by type."""
    types, sums, counts, got = {}, {"page": Counter(), "worker": Counter()}, Counter(), defaultdict(list)
    for event in events:
        who, what = ("page" if event.get("sessionId") == page else "worker"), event.get("params", {})
        key = (who, what.get("requestId"))
        if event.get("method") == "Network.responseReceived":
            types[key] = what["type"]
            over = not what["response"].get("fromServiceWorker")
            if who == "page" and over and what["response"]["url"].startswith("http"):
                got[what["type"]].append(what["response"]["url"])
        elif event.get("method") == "Network.loadingFinished":
            sums[who][types.get(key, "Other")] += what["encodedDataLength"]
            counts[who] += 1
    return (
        sums,
        counts,
        {kind: _one_stream(urls) for kind, urls in got.items() if kind in ("Document", "Stylesheet", "Script")},
    )


def _one_stream(urls: list[str]) -> float:
    """All that these addresses give, in one brotli stream; kB."""
    plain = b"".join(urllib.request.urlopen(url).read() for url in urls)
    return len(brotli.compress(plain, quality=11)) / 1000


def _rows(sums: dict, counts: Counter, streams: dict) -> list[Row]:
    page, worker = sums["page"], sums["worker"]
    whole, script = sum(page.values()) / 1000, page["Script"] / 1000
    rest = sum(size for kind, size in page.items() if kind not in streams) / 1000
    bare = sum(streams.values()) + rest
    rows = [
        Row(f"the page, {counts['page']} requests", whole, "kB", bare, f"at most {AIM_ALL:.0f} kB", whole <= AIM_ALL),
        Row("of it script", script, "kB", streams["Script"], f"at most {AIM_SCRIPT:.0f} kB", script <= AIM_SCRIPT),
    ]
    others = sorted(((size, kind) for kind, size in page.items() if kind != "Script"), reverse=True)
    rows += [Row(f"of it {kind.lower()}", size / 1000, "kB", streams.get(kind)) for size, kind in others]
    rows.append(Row(f"the service worker again, {counts['worker']} requests", sum(worker.values()) / 1000, "kB"))
    return rows
