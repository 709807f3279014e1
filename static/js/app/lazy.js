// Screens that are loaded when first asked for, markup and script; the service worker has them.
import { process } from "../sync/htmx.js";

const LAZY = {
  air: () => import("../screens/air.js"),
  anew: () => import("../phones/restore.js"),
  back: () => import("../panel/back.js"),
  begin: () => import("../panel/begin.js"),
  buy: () => import("../mix/shopping.js"),
  calendar: () => import("../alarm/calendar.js"),
  correct: () => import("../panel/correct.js"),
  demo: () => import("../screens/demo.js"),
  help: () => import("../screens/help.js"),
  hand: () => import("../handover/send.js"),
  how: () => import("../cards/bench.js"),
  join: () => import("../phones/join.js"),
  lay: () => import("../screens/lay.js"),
  meanwhile: () => import("../screens/meanwhile.js"),
  mix: () => import("../mix/screen.js"),
  people: () => import("../phones/people.js"),
  phones: () => import("../phones/roles.js"),
  ring: () => import("../alarm/settings.js"),
  room: () => import("../ui/room.js"),
  sheet: () => import("../product/editor.js"),
  sure: () => import("../panel/sure.js"),
  table: () => import("../product/table.js"),
  thermometer: () => import("../ui/room.js"),
  take: () => import("../handover/receive.js"),
  twice: () => import("../screens/duplicates.js"),
  unprinted: () => import("../phones/phrase_reminder.js"),
};
let loading = null;

/** A screen, its markup in the page before its script; undefined where there is none of that name. */
export const lazy = (name) => LAZY[name] && loadMarkup().then(LAZY[name]);

/** What a button of such a screen does; an action begins with the name of its screen. */
export const actionOf = async (name) => (await lazy(name.split("-")[0])).actions[name];

/** The markup of all these screens, put into the page once; asked again when it did not come. */
function loadMarkup() {
  loading ||= fetchMarkup().catch((why) => {
    loading = null;
    throw why;
  });
  return loading;
}

async function fetchMarkup() {
  const answer = await fetch(document.getElementById("sync").dataset.rooms);
  const { body, head } = new DOMParser().parseFromString(await answer.text(), "text/html");
  const screens = [...body.querySelectorAll(":scope > section")];
  const others = [...body.children].filter((node) => !screens.includes(node));
  document.querySelector("main").append(...screens);
  document.body.append(...others, ...head.querySelectorAll("template"));
  for (const root of [...screens, ...others]) process(root);
}
