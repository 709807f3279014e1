"""What a simulated phone does when the server was put back from a backup, as static/js/sync/resend.js does it."""


def recount(phone, answer: dict) -> None:
    """Acts that the server does not know any more go into the outbox, before its fragments are taken in."""
    memory = answer.get("memory", "")
    if phone.memory not in ("", memory):
        phone.uncounted = set(phone.things)
        for row in phone.outbox.values():
            row["seq"] = None
    if phone.uncounted is not None:
        for fragment in answer["fragments"]:
            if fragment["on"] in phone.uncounted:
                phone.uncounted.discard(fragment["on"])
                _lost(phone, fragment["on"], fragment["acts"])
        if not answer["more"]:
            for on in sorted(phone.uncounted):
                _lost(phone, on, [])
                del phone.things[on]
            phone.uncounted = None
    phone.memory = memory


def _lost(phone, on: str, told: list[dict]) -> None:
    known = {act["id"] for act in told}
    for act in phone.things[on]["acts"]:
        if act["id"] not in known and act["id"] not in phone.outbox:
            phone.outbox[act["id"]] = {"act": act, "tried": True, "seq": None, "why": ""}
    phone.views.pop(on, None)
