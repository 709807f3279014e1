"""Faults put into the phone's scripts on purpose, to see that the schedules find each of them.

    python -m pytest tests/soak/test_client_soak.py -q -s -k fault

A fault is (what it is, the module, the text there, the text in its place).  The last ones are faults that the schedules
found in the product, as they were.
"""

MUTATIONS = [
    (
        "an act counts as sent before the answer",
        "sync/sync.js",
        "await shop.mark(batch, { tried: true });",
        "await shop.mark(batch, { tried: true, seq: 1 });",
    ),
    (
        "the cursor is on the disk before the fragments",
        "data/state.js",
        "  await disk.owed(changes);\n  return fresh.map",
        '  await db.write([["put", "meta", { name: "cursor", value: reached, seq: reached }]]);\n'
        "  await disk.owed(changes);\n  return fresh.map",
    ),
    (
        "the outbox is not read after a kill",
        "data/db.js",
        '      asked(store("outbox").getAll()),',
        "      [],",
    ),
    (
        "verdicts are ignored",
        "data/state.js",
        "for (const { id, seq, why } of verdicts) {",
        "for (const { id, seq, why } of []) {",
    ),
    (
        "a refused act is thrown away",
        "data/state.js",
        "    Object.assign(row, why ? { why } : { seq });",
        "    if (why) letGo(row.act);\n    Object.assign(row, why ? { why } : { seq });",
    ),
    (
        "an act leaves the outbox with its verdict, not with its fragment",
        "data/state.js",
        "  seq &&\n  (things.get(on)",
        "  seq || (things.get(on)",
    ),
    (
        "a write counts as done before the transaction is",
        "data/db.js",
        "(given) => (answer = given),",
        "(given) => resolve((answer = given)),",
    ),
    (
        "a tap is answered before the disk has it",
        "data/state.js",
        '  const why = await disk.owed(rows.map((row) => ["put", "outbox", row]));\n  rows.forEach(take);',
        '  const why = null;\n  disk.owed(rows.map((row) => ["put", "outbox", row]));\n  rows.forEach(take);',
    ),
    (
        "what the disk did not take is forgotten",
        "data/db.js",
        "  const why = await taken(all).catch((trouble) => trouble);",
        "  const why = await taken(all).catch((trouble) => trouble);\n  owed.clear();",
    ),
    (
        "the server that was put back is told nothing again",
        "sync/resend.js",
        'await keep(shop.meta.role === "wall" ? [] : lost);',
        "",
    ),
    (
        "the act at the cursor is not named to the server",
        "sync/sync.js",
        'detail.parameters.set("cursor_act", shop.meta.cursorAct || "");',
        'detail.parameters.set("cursor_act", "");',
    ),
    ("too many acts are posted again as they are", "sync/sync.js", "most = Math.ceil(batch.length / 2);", "most = 50;"),
    (
        "a wrong clock is not put right",
        "sync/server_clock.js",
        "await shop.mark(fresh, (row) =>",
        "await shop.mark([], (row) =>",
    ),
    (
        "the page goes on as busy after a failure",
        "sync/sync.js",
        '  await failed(0, "");\n  finish({});',
        '  await failed(0, "");',
    ),
    (
        "acts of other pages are dropped when the disk is read again",
        "data/state.js",
        'if (!isNewHere("outbox", row.act.id)) take(',
        "if (false) take(",
    ),
    # found in the product
    (
        "as it was: each page puts right what another has put right",
        "sync/server_clock.js",
        "const since = ({ corrected = 0 }) => clock.correction() - corrected;",
        "const since = () => clock.correction();",
    ),
    (
        "as it was: a moment put right by parts of a millisecond",
        "data/clock.js",
        "Math.round(error + since)",
        "error + since",
    ),
]

# Not shown to be found within the schedules of the suite: nobody counts on them.
NOT_SHOWN = [
    (  # found until the log took a tap whose moment alone was put right for the same
        "as it was: a page's turn begins without what another did in its own",
        "sync/page_lock.js",
        "  await shop.reread([], true).catch(() => {});\n",
        "",
    ),
    (  # and so was this
        "acts that were posted are not marked, so that the clock moves them",
        "sync/sync.js",
        "if (batch.some((row) => !row.tried)) await shop.mark(batch, { tried: true });",
        "",
    ),
    (
        "what an older answer tells comes over what is newer",
        "data/state.js",
        "fragments.filter(({ on, seq }) => anew || !(things.get(on)?.seq > seq))",
        "fragments",
    ),
    (
        "numbers of a server that was put back stay on the acts",
        "sync/resend.js",
        "  if (anew) await nothingHeard();\n",
        "",
    ),
    (
        "what is more is not asked for",
        "sync/sync.js",
        'again ||= more === "yes" || shop.unsent()',
        "again ||= shop.unsent()",
    ),
    ("nobody asks again after a failure", "sync/sync.js", "else if (failures) timer", "else if (false) timer"),
    (
        "as it was: a page takes over the cursor of another without its things",
        "data/state.js",
        " || ((ons || facts.fresh) && OF_A_PAGE.has(name))",
        "",
    ),
    (
        "as it was: a disk that gave nothing at the start is never asked again",
        "data/state.js",
        "const isToRead = !isLoaded || before > closings;",
        "const isToRead = false;",
    ),
    (
        "as it was: a reading counts as heard by a number from before the server was put back",
        "data/state.js",
        ' && !recount.includes("air")',
        "",
    ),
    (
        "as it was: an act with a number that the server lost before it told of it",
        "sync/sync.js",
        '  if (more !== "yes") await shop.postAgain(Number(cursor));\n',
        "",
    ),
]
