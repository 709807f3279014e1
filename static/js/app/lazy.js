// Screens that are loaded when first asked for, markup and script; the service worker has them.
const ROOMS = {
  air: () => import("../screens/air.js"),
  anew: () => import("../phones/restore.js"),
  calendar: () => import("../alarm/calendar.js"),
  demo: () => import("../screens/demo.js"),
  help: () => import("../screens/help.js"),
  hand: () => import("../handover/send.js"),
  join: () => import("../phones/join.js"),
  lay: () => import("../screens/lay.js"),
  meanwhile: () => import("../screens/meanwhile.js"),
  mix: () => import("../mix/screen.js"),
  people: () => import("../phones/people.js"),
  phones: () => import("../phones/roles.js"),
  ring: () => import("../alarm/settings.js"),
  sheet: () => import("../product/editor.js"),
  table: () => import("../product/table.js"),
  thermometer: () => import("../phones/thermometers.js"),
  take: () => import("../handover/receive.js"),
  twice: () => import("../screens/duplicates.js"),
  unprinted: () => import("../phones/phrase_reminder.js"),
};
let furnished = null;

/** A room, its markup in the page before its script; undefined where there is none of that name. */
export const room = (name) => ROOMS[name] && furnish().then(ROOMS[name]);

/** What a button of a room does; a deed begins with the name of its room. */
export const deedOf = async (name) => (await room(name.split("-")[0])).deeds[name];

/** The markup of all rooms, put into the page once; asked again when it did not come. */
function furnish() {
  furnished ||= furniture().catch((why) => {
    furnished = null;
    throw why;
  });
  return furnished;
}

async function furniture() {
  const answer = await fetch(document.getElementById("sync").dataset.rooms);
  const { body, head } = new DOMParser().parseFromString(await answer.text(), "text/html");
  document.querySelector("main").append(...body.querySelectorAll(":scope > section"));
  document.body.append(...body.children, ...head.querySelectorAll("template"));
}
