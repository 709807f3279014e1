"""Push messages that the browser itself hands to the service worker of a phone."""

import json

from .conftest import PATIENCE_MS, kept_offline

GIVEN, DONE = "Push event dispatched", "Push event completed"
EVENT = "backgroundServiceEvent"
DOOR = {"title": "Left door", "body": "Coat 2 can go on. Until 16:05", "tag": "panel:1 opens flash 1", "silent": False}
SHOWN = """async () => (await (await navigator.serviceWorker.ready).getNotifications())
  .map(({ title, body, tag, silent, data }) => ({ title, body, tag, silent, url: data.url }))"""
PAGES = "async () => (await clients.matchAll({ type: 'window', includeUncontrolled: true })).length"


class Pushed:
    """A phone whose service worker is sent push messages by the browser itself, which says what became of each."""

    def __init__(self, page, address: str):
        self.page, self.address = page, address
        page.context.grant_permissions(["notifications"], origin=address.rstrip("/"))
        kept_offline(page)
        self.tool = page.context.new_cdp_session(page)
        self.numbers: list[str] = []
        self.said: list[dict] = []
        self.tool.on("ServiceWorker.workerVersionUpdated", self.registered)
        self.tool.on(
            "BackgroundService.backgroundServiceEventReceived", lambda said: self.said.append(said[EVENT]["eventName"])
        )
        self.tool.send("ServiceWorker.enable")
        self.tool.send("BackgroundService.startObserving", {"service": "pushMessaging"})
        self.tool.send("BackgroundService.setRecording", {"service": "pushMessaging", "shouldRecord": True})
        assert self.comes(lambda: self.numbers, PATIENCE_MS), "no worker was ready"

    def registered(self, said: dict):
        """The worker of this phone, once it is whole."""
        mine = [one for one in said["versions"] if one["scriptURL"].startswith(self.address)]
        self.numbers += [one["registrationId"] for one in mine if one["status"] == "activated"]

    def leave(self):
        """Close the page, and wait until its worker knows."""
        self.page.goto("about:blank")
        worker = self.page.context.service_workers[0]
        assert self.comes(lambda: worker.evaluate(PAGES) == 0, PATIENCE_MS), "the page is still there"

    def send(self, data: str):
        """Deliver a message until the worker was given it, then wait until the worker is done with it."""
        said = {"origin": self.address.rstrip("/"), "registrationId": self.numbers[-1], "data": data}
        given, done = (self.said.count(name) for name in (GIVEN, DONE))
        for _ in range(3):  # a busy browser may lose one, and says then that it gave none
            self.tool.send("ServiceWorker.deliverPushMessage", said)
            if self.comes(lambda: self.said.count(GIVEN) > given, PATIENCE_MS / 2):
                break
        assert self.comes(lambda: self.said.count(DONE) > done, PATIENCE_MS), self.said

    def comes(self, what, patience_ms: float) -> bool:
        for _ in range(int(patience_ms / 50)):
            if what():
                return True
            self.page.wait_for_timeout(50)
        return bool(what())

    def shown(self, count: int) -> list[dict]:
        for _ in range(300):
            found = self.page.evaluate(SHOWN)
            if len(found) >= count:
                return found
            self.page.wait_for_timeout(50)
        raise AssertionError(found)


def message(**more) -> str:
    said = {**DOOR, "navigate": "https://elsewhere.example/#panel=panel:1", **more}
    return json.dumps({"web_push": 8030, "notification": said})
