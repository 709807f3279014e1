import { t, tn } from "../core/base/translate.js";
import { mark } from "../core/acts/signature.js";
import { coded } from "../device/qrcode.js";
import { copied } from "../device/clipboard.js";
import { hindrance, links } from "./codec.js";
import { paintList, say, set, show } from "../ui/dom.js";
import * as queries from "../data/queries.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { tapsOn } from "./summary.js";

const TURN_MS = 3_000;
const MOST_VERSION = 17; // larger ones are hard on cameras
const node = (id) => document.getElementById(id);
const panels = new Set(); // chosen to go whole
let unheard = true; // whether what the server has not heard goes too
let codes = null; // links, while they are shown
let summary = "";
let at = 0;
let turnedAt = null; // when the codes turned by themselves last
let drawn = "";

export const actions = {
  "hand-unheard": () => (unheard = !unheard),
  "hand-panel": ({ key }) => panels.delete(key) || panels.add(key),
  "hand-show": showCodes,
  "hand-next": () => turn(1),
  "hand-back": () => turn(-1),
  "hand-turn": () => (turnedAt = turnedAt === null ? performance.now() : null),
  "hand-copy": copyLink,
  "hand-choose": leave,
};

addEventListener("hashchange", () => location.hash !== "#hand" && leave());

export function paint() {
  const why = hindrance(shop.meta);
  say("hand-why", why);
  show("hand-choice", !why && !codes);
  show("hand-codes", !why && Boolean(codes));
  if (why) return;
  if (codes) paintCode();
  else paintChoice();
}

function paintChoice() {
  const waits = shop.unsent().length;
  show("hand-unheard", waits > 0);
  show("hand-heard", !waits);
  say("hand-unheard", tn("What the server has not heard: {n} tap", "What the server has not heard: {n} taps", waits));
  node("hand-unheard").setAttribute("aria-pressed", String(unheard));
  const rows = queries
    .onFloor()
    .map((on) => ({ key: on, ...views.view(on) }))
    .sort((one, two) => one.name.localeCompare(two.name));
  for (const on of panels) if (!rows.some((row) => row.key === on)) panels.delete(on);
  paintList(node("hand-panels"), "hand-panel", rows, paintPanel);
  show("hand-none", !rows.length);
  const acts = chosen();
  say("hand-told", acts.length ? tapsOn(acts) : t("Nothing is chosen."));
  show("hand-show", acts.length > 0);
}

function paintPanel(row, { key, name, job }) {
  const button = row.querySelector("button");
  const words = `${name}${job ? `, ${job}` : ""}`;
  if (button.textContent !== words) button.textContent = words;
  button.setAttribute("aria-pressed", String(panels.has(key)));
}

/** Each act once, in an order that is the same however they were chosen, so that the codes are the same too. */
function chosen() {
  const some = [...(unheard ? shop.unsent().map((row) => row.act) : []), ...[...panels].flatMap(shop.actsOf)];
  const once = new Map(some.map((act) => [act.id, act]));
  return [...once.values()].sort((one, two) =>
    one.on === two.on ? one.at - two.at || (one.id < two.id ? -1 : 1) : one.on < two.on ? -1 : 1,
  );
}

/** What was handed over may move no more: the other phone may post it first, and the server keeps one wording. */
async function showCodes() {
  const before = chosen();
  await shop.mark(
    before.map((act) => shop.rowOf(act.id)).filter((row) => row && !row.tried),
    { tried: true },
  );
  const acts = before.map((act) => shop.rowOf(act.id)?.act || act);
  const made = await links(
    acts,
    { key: shop.meta.key, shop: shop.meta.shop },
    `${location.origin}/`,
    await marksOn(acts),
  );
  codes = await Promise.all(made.map(async (link) => ({ link, picture: await coded(link, MOST_VERSION) })));
  summary = tapsOn(acts);
  [at, drawn] = [0, ""];
  paint();
  node("hand-count").focus();
  node("hand-codes").scrollIntoView({ block: "start" });
}

/** Who made what the server has not heard: our own mark, or the one that came with an act that was handed to us. */
async function marksOn(acts) {
  const unheard = acts.map(({ id }) => shop.rowOf(id)).filter(Boolean);
  const marks = unheard.map(async ({ act, mark: theirs }) => [
    act.id,
    act.who === shop.meta.phone ? await mark(shop.meta.sign, act) : theirs,
  ]);
  return Object.fromEntries((await Promise.all(marks)).filter(([, one]) => one));
}

function turn(by) {
  at = (at + by + codes.length) % codes.length;
  if (turnedAt !== null) turnedAt = performance.now();
}

function paintCode() {
  if (turnedAt !== null && performance.now() - turnedAt > TURN_MS - 500) turn(1);
  say("hand-count", codes.length > 1 ? t("Code {code} of {of}", { code: at + 1, of: codes.length }) : t("One code"));
  say("hand-what", summary);
  for (const id of ["hand-steps", "hand-turn"]) show(id, codes.length > 1);
  node("hand-turn").setAttribute("aria-pressed", String(turnedAt !== null));
  if (drawn === codes[at].link) return;
  drawn = codes[at].link;
  codes[at].picture.toCanvas(node("hand-code"), { on: [0, 0, 0], off: [255, 255, 255], pad: 4 });
  set(node("hand-code"), "code", String(at + 1));
  say("hand-copy", t("Copy the link"));
}

async function copyLink() {
  const done = await copied(codes[at].link);
  say("hand-copy", done ? t("Copied") : t("This browser did not copy it"));
}

function leave() {
  codes = turnedAt = null;
}
