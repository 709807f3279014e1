"""A simulated phone that keeps what static/js/data/state.js and sync/sync.js keep, and what people tap on it."""

import json

from tests.random_logs import logs
from tests.simulated import resend
from timers.core.acts import envelope as rules
from timers.core.base.units import MINUTE_MS
from timers.core.fold import panel
from timers.core.fold.shelf import laid_sheet
from timers.defaults.products import PRODUCTS
from timers.log import writer

PUTTY, SURFACER = PRODUCTS[1], PRODUCTS[5]
STEPS = [
    {"id": "1", "do": "clean", "words": "Wash"},
    {"id": "2", "do": "fill", "words": "Putty", "cls": "putty"},
    {"id": "3", "do": "sand", "words": "Block", "grit": 180},
    {"id": "4", "do": "coat", "words": "Surfacer", "cls": "surfacer", "coats": 2},
]


class Phone:
    """The server's last word on each thing, and the phone's own acts that the server has not folded yet."""

    def __init__(self, row, token: str, skew_ms: int):
        self.row, self.token, self.skew_ms = row, token, skew_ms
        self.offset, self.known, self.mood = 0, False, "unknown"
        self.things: dict[str, dict] = {}
        self.outbox: dict[str, dict] = {}
        self.views: dict[str, dict] = {}
        self.cursor, self.most, self.memory, self.uncounted, self.cursor_act = 0, 50, "", None, ""

    def now(self, true_ms: int) -> int:
        return true_ms + self.skew_ms + self.offset

    def keep(self, act: dict) -> None:
        self.outbox[act["id"]] = {"act": act, "tried": False, "seq": None, "why": ""}
        self.views.pop(act["on"], None)

    def throw_away(self, act_id: str) -> None:
        self.views.pop(self.outbox.pop(act_id)["act"]["on"], None)

    def unsent(self) -> list[dict]:
        return [row for row in self.outbox.values() if not row["seq"] and not row["why"]]

    def refused(self) -> list[dict]:
        return [row for row in self.outbox.values() if row["why"]]

    def batch(self) -> list[dict]:
        rows = self.unsent()[: self.most]
        for row in rows:
            row["tried"] = True
        return rows

    def learn(self, server_ms: int, true_ms: int) -> None:
        """Hear the server's clock: taps that were never posted move with what we learn, posted ones may not change."""
        error = server_ms - self.now(true_ms)
        if self.known and abs(error) <= 250:
            return
        self.offset, self.known = self.offset + error, True
        for row in [row for row in self.outbox.values() if not row["tried"] and abs(error) >= 1500]:
            moved = {
                key: row["act"][key] + error for key in ("at", "at_ms", "ask_at", "until_ms") if row["act"].get(key)
            }
            row["act"] = {**row["act"], **moved}
            self.views.pop(row["act"]["on"], None)

    def hear(self, answer: dict) -> None:
        resend.recount(self, answer)
        self.most, self.mood = 50, "heard"
        for fragment in answer["fragments"]:
            self.things[fragment["on"]] = fragment
            self.views.pop(fragment["on"], None)
        for verdict in answer["verdicts"]:
            if row := self.outbox.get(verdict["id"]):
                row |= {"why": verdict["why"]} if "why" in verdict else {"seq": verdict["seq"]}
                self.views.pop(row["act"]["on"], None)
        for row in list(self.outbox.values()):
            act = row["act"]
            thing = self.things.get(act["on"], {"acts": [], "seq": 0})
            faded = act["on"] == "air" and row["seq"] and thing["seq"] >= row["seq"]  # heard, and no longer needed
            if row["seq"] and (faded or any(one["id"] == act["id"] for one in thing["acts"])):
                self.throw_away(act["id"])
        self.cursor, self.cursor_act = answer["cursor"], answer.get("cursor_act", "")

    def fail(self, status: int, words: str, batch: list[dict]) -> None:
        self.mood = "away" if status == 0 else "broken"
        if status in (400, 413) and len(batch) > 1:
            self.most = -(-len(batch) // 2)
        elif status in (400, 413) and batch:
            batch[0]["why"] = words

    def own(self, on: str) -> list[dict]:
        return [row["act"] for row in self.outbox.values() if row["act"]["on"] == on and not row["why"]]

    def acts_of(self, on: str) -> list[dict]:
        return [*(self.things[on]["acts"] if on in self.things else []), *self.own(on)]

    def view(self, on: str) -> dict:
        """A thing as this phone shows it."""
        if on not in self.views:
            plain = on in self.things and not self.own(on)
            self.views[on] = self.things[on]["state"] if plain else fold(on, self.acts_of(on))
        return self.views[on]

    def ons(self) -> list[str]:
        return list({**self.things, **{row["act"]["on"]: 1 for row in self.outbox.values() if not row["why"]}})


def fold(on: str, acts: list[dict]) -> dict:
    return json.loads(json.dumps(writer.FOLDS[on.split(":")[0]](acts)))  # as it comes to a phone


def common_start(rnd, now_ms: int) -> list[dict]:
    """A garage at work: the air, two products, a panel that waits for its putty."""
    on = f"panel:{_id(rnd, now_ms)}"
    return [
        _act(rnd, now_ms, "air", "air_read", temp_dc=rnd.randint(50, 300)),
        *(_act(rnd, now_ms, f"product:{doc['id']}", "sheet_written", doc=doc) for doc in (PUTTY, SURFACER)),
        _act(rnd, now_ms, on, "panel_added", name="Left front door", steps=STEPS),
        _act(rnd, now_ms, on, "step_done", step="1"),
    ]


def hostile_acts(rnd) -> list[dict]:
    """Odd but good acts of a few things, for any phone to tap."""
    if rnd.random() < 0.4:
        return []
    return [act for kind in (logs.panel_log, logs.air_log, logs.product_log) for act in kind(rnd, rnd.randint(0, 6))]


def tap(rnd, phone: Phone, now_ms: int, hostile: list[dict]) -> dict | None:
    """An act that this phone makes now, mostly what its screen offers; None when there is nothing to do."""
    now_ms = now_ms // MINUTE_MS * MINUTE_MS if rnd.random() < 0.3 else now_ms
    deed = rnd.choices(list(_DEEDS), list(_DEEDS.values()))[0]
    if deed is _poison:
        return _poison(rnd, phone, now_ms)
    if hostile and rnd.random() < 0.25:
        return {**hostile.pop(), "at": now_ms}
    made = deed(rnd, phone, now_ms)
    return made and _act(rnd, now_ms, *made[:2], **made[2])


def _work(rnd, phone, now_ms):
    """The main button of a card."""
    on, state = _panel(rnd, phone)
    if on is None:
        return None
    step = panel.current(state)
    if step is None:
        return on, "panel_put_away", {}
    if step["do"] not in ("fill", "coat"):
        return on, "step_done", {"step": step["id"]}
    doc = PUTTY if step["do"] == "fill" else SURFACER
    film = {"film": _id(rnd, now_ms), "step": step["id"], "area": step["area"], "product": doc["id"]}
    return on, "film_laid", {**film, "coat": step["laid"] + 1, "sheet": laid_sheet(doc, "2")}


def _found(rnd, phone, now_ms):
    on, state = _panel(rnd, phone)
    if on is None or not state["films"]:
        return None
    fields = {"films": [rnd.choice(state["films"])["id"]], "gate": rnd.choice(["sand", "flash"])}
    if rnd.random() < 0.5:
        return on, "found_ready", fields
    return on, "found_not_ready", {**fields, "ask_at": now_ms + 20 * MINUTE_MS}


def _undo(rnd, phone, now_ms):
    """Any act that this phone knows, of whichever phone, taken out or put back."""
    acts = [act for on in phone.ons() for act in phone.acts_of(on)]
    if not acts:
        return None
    undoings = [act for act in acts if act["kind"] in ("undone", "restored")]
    if undoings and rnd.random() < 0.4:
        act = rnd.choice(undoings)
        return act["on"], rnd.choice(["undone", "restored", "restored"]), {"act": act["act"]}
    act = rnd.choice(acts)
    return act["on"], "undone", {"act": act["id"]}


def _change(rnd, phone, now_ms):
    on, state = _panel(rnd, phone)
    if on is None:
        return None
    step, before = (rnd.choice([*(step["id"] for step in state["steps"]), "gone"]) for _ in range(2))
    more = {"id": _id(rnd, now_ms), "do": "sand", "words": "Scuff", "area": rnd.choice(["", "low spot"])}
    return rnd.choice(
        [
            (on, "step_added", {"step": more, "before": before}),
            (on, "step_dropped", {"step": step}),
            (on, "step_moved", {"step": step, "before": before}),
            (on, "sent_back", {"area": "low spot", "steps": [{**more, "area": "low spot"}], "before": before}),
            (on, "panel_named", {"name": rnd.choice(["Hood", "__proto__", "<b>"])}),
            (on, "panel_put_away", {}),
            (on, "panel_brought_back", {}),
        ]
    )


def _shelf(rnd, phone, now_ms):
    doc = rnd.choice([PUTTY, SURFACER])
    kind = rnd.choice(["sheet_written", "sheet_put_away", "sheet_brought_back"])
    return f"product:{doc['id']}", kind, {"doc": {**doc, "lowest_dc": rnd.randint(0, 150)}} if "written" in kind else {}


def _air(rnd, phone, now_ms):
    return "air", "air_read", {"temp_dc": rnd.randint(-50, 400), "rh_pm": rnd.choice([None, 500])}


def _add(rnd, phone, now_ms):
    return f"panel:{_id(rnd, now_ms)}", "panel_added", {"name": "Hood", "steps": STEPS[rnd.randint(0, 4) :]}


def _poison(rnd, phone, now_ms):
    """An act that the server must refuse, as an older version or a wild clock may make it."""
    on, _ = _panel(rnd, phone)
    good = _act(rnd, now_ms, "air", "air_read", temp_dc=200)
    known = [act for on in phone.things for act in phone.things[on]["acts"] if act["id"] not in phone.outbox]
    return rnd.choice(
        [
            {**good, "at": 0},
            {**good, "at": 4_102_444_800_000},
            {**good, "temp_dc": rnd.choice([-600, 4000, 10**30])},
            {**good, "on": on or "air", "rh_pm": 2000},
            {**good, "kind": "panel_named", "name": "Hood"},
            {**good, "id": good["id"].replace("-7", "-4")},
            {**good, "kind": "lamp_lit", "deep": "\x00"},
            {**good, "id": rnd.choice(known)["id"] if known else "none", "temp_dc": 201},
        ]
    )


_DEEDS = {_work: 10, _found: 2, _undo: 5, _change: 3, _air: 2, _shelf: 2, _add: 1, _poison: 2}


def _panel(rnd, phone: Phone) -> tuple:
    """A panel on this phone's floor as the phone shows it."""
    views = {on: phone.view(on) for on in phone.ons() if on.startswith("panel:")}
    floor = [on for on, state in views.items() if state["added_at"] is not None and state["away_at"] is None]
    return (on := rnd.choice(floor), views[on]) if floor else (None, None)


def _act(rnd, now_ms: int, on: str, kind: str, **fields) -> dict:
    return {"id": _id(rnd, now_ms), "at": now_ms, "on": on, "kind": kind, **fields}


def _id(rnd, now_ms: int) -> str:
    return rules.new_id(now_ms, rnd.randbytes(10))
