"""The bundles of the page: which scripts come together, in the order in which they are loaded."""

BUNDLES = {
    "first": ["store.js"],
    "floor": ["main.js"],
    "hands": ["hands.js"],
    "deeds": ["deeds.js", "asking.js"],
    "live": ["live.js"],
    "lay": ["air.js", "lay.js", "twice.js"],
    "bench": ["mix.js", "calendar.js", "core/grit.js"],
    "sheet": ["sheet.js", "table.js"],
    "people": ["people.js"],
    "ring": ["ring.js"],
    "help": ["help.js", "demo.js"],
    "thermometer": ["thermometer.js"],
    "hand": ["hand.js", "take.js"],
    "phones": ["phones.js", "join.js", "anew.js"],
    "recount": ["recount.js", "carried.js", "meanwhile.js", "unused.js"],
    "seldom": ["nearly.js", "notices.js", "unprinted.js"],
}
