// Which screen is open: the part of the address after "#".  All screens are in the shell and work with no signal.
const SCREENS = [
  "floor",
  "panel",
  "mix",
  "buy",
  "shelf",
  "sheet",
  "table",
  "ring",
  "help",
  "thermometer",
  "hand",
  "take",
  "phones",
  "join",
  "book",
];
let last = "";

/** The open screen and what it is about: "#panel=panel:ID" is {name: "panel", about: "panel:ID"}. */
export function open() {
  const [name, about = ""] = location.hash.slice(1).split("=");
  return { name: SCREENS.includes(name) ? name : "floor", about };
}

/** Show the open screen; a newly opened one starts at its top with its heading in focus. */
export function turn() {
  const { name } = open();
  for (const one of SCREENS) {
    const screen = document.getElementById(`screen-${one}`);
    if (screen) screen.hidden = one !== name;
  }
  for (const link of document.querySelectorAll(".bar a")) {
    if (link.hash === `#${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  const heading = document.querySelector(`#screen-${name} h1`);
  if (!heading) return; // a screen that is still being loaded
  if (last && last !== location.hash) {
    scrollTo(0, 0);
    heading.focus({ preventScroll: true });
  }
  last = location.hash || "#floor";
}

/** A screen that was being loaded is here, and painted. */
export function arrived(name) {
  if (document.getElementById(`screen-${name}`)?.hidden && open().name === name) turn();
}

export const go = (hash) => (location.hash = hash);
