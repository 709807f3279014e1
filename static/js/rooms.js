// Screens that are loaded when first asked for, markup and script; the service worker has them.
const ROOMS = {
  air: () => import("./air.js"),
  anew: () => import("./anew.js"),
  calendar: () => import("./calendar.js"),
  demo: () => import("./demo.js"),
  help: () => import("./help.js"),
  hand: () => import("./hand.js"),
  join: () => import("./join.js"),
  lay: () => import("./lay.js"),
  meanwhile: () => import("./meanwhile.js"),
  mix: () => import("./mix.js"),
  people: () => import("./people.js"),
  phones: () => import("./phones.js"),
  ring: () => import("./ring.js"),
  sheet: () => import("./sheet.js"),
  table: () => import("./table.js"),
  thermometer: () => import("./thermometer.js"),
  take: () => import("./take.js"),
  twice: () => import("./twice.js"),
  unprinted: () => import("./unprinted.js"),
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
