"""The bundles of the page: which scripts come together, in the order in which they are loaded."""

BUNDLES = {
    "first": ["data/db.js"],
    "floor": ["app/boot.js"],
    "online": ["app/online.js"],
    "actions": ["app/actions.js", "sync/api.js"],
    "live": ["sync/live.js"],
    "lay": ["screens/air.js", "screens/lay.js", "screens/duplicates.js", "panel/begin.js", "panel/back.js"],
    "cards": ["cards/bench.js"],
    "correct": ["panel/correct.js", "panel/sure.js"],
    "mix": ["mix/screen.js", "mix/shopping.js", "alarm/calendar.js", "core/bench/grit.js"],
    "product": ["product/editor.js", "product/table.js"],
    "people": ["phones/people.js"],
    "room": ["ui/room.js"],
    "alarm": ["alarm/settings.js"],
    "help": ["screens/help.js", "screens/demo.js"],
    "handover": ["handover/send.js", "handover/receive.js"],
    "phones": ["phones/roles.js", "phones/join.js", "phones/restore.js"],
    "recovery": ["sync/resend.js", "sync/carry_over.js", "sync/absence.js", "screens/meanwhile.js", "sync/renew.js"],
    "notices": ["app/quota_notice.js", "app/notices.js", "phones/phrase_reminder.js"],
}
