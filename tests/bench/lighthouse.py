"""What Lighthouse 12.2.3 gives the floor, the mix and the shelf of a demo shop: 0 to 100, as on a phone.

Lighthouse comes from npm with the first run, into a folder beside other caches of this user; where node or npm is
missing, this says so and measures nothing.  A browser of its own makes the demo shop by a tap, as a person does; then
each page is looked at three times and the middle score stands: that of performance reckons a slow phone from what this
machine did meanwhile, so other work on the machine lowers it; Lighthouse's own index of the machine (higher is faster)
is printed with what costs points, above the table.
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.conftest import PHONE, demo_floor, heard, kept_offline
from tests.conftest import CHROMIUM_FLAGS, chromium_path, free_port

from .rig import Row, calm, folder, median, serving

VERSION = "12.2.3"
CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / f"sandtime-lighthouse-{VERSION}"
PAGES = ("floor", "mix", "shelf")
SCORES = ("performance", "accessibility", "best-practices")
ROUNDS = 3
AIM = 97


def measure() -> list[Row]:
    if not (shutil.which("node") and shutil.which("npm")):
        print("Lighthouse needs node and npm: nothing measured.")
        return []
    program = _installed()
    with folder() as where, serving(where) as server, sync_playwright() as playwright:
        port = free_port()
        flags = [*CHROMIUM_FLAGS, f"--remote-debugging-port={port}"]
        start = playwright.chromium.launch_persistent_context
        context = start(where / "phone", executable_path=chromium_path(), args=flags, **PHONE)
        try:
            _demo(context.pages[0], server.address)
            return [row for page in PAGES for row in _rows(program, f"{server.address}#{page}", page, port)]
        finally:
            context.close()


def _installed() -> Path:
    program = CACHE / "node_modules/lighthouse/cli/index.js"
    if not program.exists():
        CACHE.mkdir(parents=True, exist_ok=True)
        asked = ["npm", "install", "--no-audit", "--no-fund", "--no-save", "--prefix", CACHE, f"lighthouse@{VERSION}"]
        subprocess.run(asked, check=True, stdout=sys.stderr)
    return program


def _demo(page, address: str) -> None:
    """The demo shop, as a person gets it; the page then leaves, so that only the one looked at runs."""
    demo_floor(page, address)
    heard(page)
    kept_offline(page)
    page.goto("about:blank")


def _rows(program: Path, address: str, page: str, port: int) -> list[Row]:
    told = [_looked(program, address, port) for _ in range(ROUNDS)]
    print(f"  #{page}: index of the machine {median([one['environment']['benchmarkIndex'] for one in told]):.0f}")
    for words in dict.fromkeys(words for one in told for words in _costs(one)):
        print(f"  #{page}: {words}", flush=True)
    rows = []
    for name in SCORES:
        score = median([100 * one["categories"][name]["score"] for one in told])
        rows.append(Row(f"#{page}, {name}", score, "of 100", None, f"at least {AIM}", score >= AIM))
    return rows


def _looked(program: Path, address: str, port: int) -> dict:
    calm(10)
    asked = ["node", program, address, f"--port={port}", "--quiet", "--output=json"]
    asked.append(f"--only-categories={','.join(SCORES)}")
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(done.stderr.strip()[-2000:])
    if kept := os.environ.get("SANDTIME_LIGHTHOUSE_REPORT"):
        Path(kept).write_text(done.stdout, encoding="utf-8")
    told = json.loads(done.stdout)
    if trouble := told.get("runtimeError"):
        raise RuntimeError(trouble["message"])
    return told


def _costs(told: dict) -> list[str]:
    """The audits that took points off, in Lighthouse's words; the metrics of performance with their figures."""
    costs = []
    for name in SCORES:
        for part in told["categories"][name]["auditRefs"]:
            audit = told["audits"][part["id"]]
            if part["weight"] and audit["score"] is not None and audit["score"] < 0.9:
                costs.append(f"{audit['title']} {audit.get('displayValue', '')}".strip())
    return costs
