"""A server whose database is put back by hand, as a snapshot does it, and phones that speak to it over the network."""

import json
import shutil
import urllib.request
from pathlib import Path

from tests.browser.conftest import Server
from tests.simulated.phone import Phone
from tests.timers.log.test_durability import begin, tap

FILES = ("sandtime.sqlite3", "sandtime.sqlite3-wal", "sandtime.sqlite3-shm")


class Wired(Phone):
    """A simulated phone on the network of a real server; it remembers which of its taps were acknowledged."""

    def __init__(self, address: str):
        super().__init__(None, begin(address), 0)
        self.address, self.acknowledged = address, set()

    def taps(self, count: int = 1) -> list[str]:
        """New panels, told to the server; their acts' ids."""
        made = [tap() for _ in range(count)]
        for act in made:
            self.keep(act)
        self.asks()
        return [act["id"] for act in made]

    def asks(self) -> None:
        """Until it has told and heard all."""
        while self._ask():
            pass

    def knows(self) -> set[str]:
        return {act["id"] for thing in self.things.values() for act in thing["acts"]}

    def _ask(self) -> bool:
        acts = [row["act"] for row in self.batch()]
        body = {"acts": acts, "cursor": self.cursor, "memory": self.memory, "cursor_act": self.cursor_act}
        headers = {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"}
        asked = urllib.request.Request(f"{self.address}sync", json.dumps(body).encode(), headers)
        with urllib.request.urlopen(asked, timeout=20) as answer:
            heard = json.load(answer)
        self.acknowledged |= {one["id"] for one in heard["verdicts"] if "why" not in one}
        self.hear(heard)
        return heard["more"] or bool(self.unsent())


def copied(server: Server, folder: Path) -> None:
    """The database as a file, taken while the server stands still, as a snapshot of a machine takes it."""
    server.stop()
    folder.mkdir(exist_ok=True)
    for name in FILES:
        if (server.folder / name).exists():
            shutil.copy(server.folder / name, folder / name)
    server.start()


def put_back(server: Server, folder: Path) -> None:
    """The file again, in the place of what is there; Sandtime is told nothing."""
    server.stop()
    for name in FILES:
        (server.folder / name).unlink(missing_ok=True)
        if (folder / name).exists():
            shutil.copy(folder / name, server.folder / name)
    server.start()
