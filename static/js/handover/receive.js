// The screen that takes what another phone hands over: codes come in any order, are looked at when whole, then taken.
import * as clock from "../data/clock.js";
import * as camera from "../device/camera.js";
import { t, tn } from "../core/base/translate.js";
import { textIn } from "../device/codes.js";
import { Refused, hindrance, inFile, open, packedIn, read } from "./codec.js";
import { isKnown, outlook, partly } from "./preview.js";
import { sayLoose } from "../ui/export_taps.js";
import { paint as paintWords, paintList, say, set as setData, show } from "../ui/dom.js";
import * as events from "../data/events.js";
import * as shop from "../data/state.js";

const MOST_SETS = 8;
const LOOK_MS = 100;
const node = (id) => document.getElementById(id);
const sets = new Map(); // key -> {key, set, of, parts: no -> {packed, piece}, acts}
let line = null; // codes are worked on one after another
let progress = "";
let wrong = "";
let seen = []; // what was painted last: now, zone
let stamp = "";
let turn = 0;

export const actions = {
  "take-scan": scan,
  "take-photo": readPhotos,
  "take-file": readFile,
  "take-link": readLink,
  "take-take": ({ key }) => takeOver(key),
  "take-leave": ({ key }) => drop(key),
};

addEventListener("hashchange", () => location.hash.startsWith("#take") || close());
document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && close());

/** `about` is what a link brought: read once, then taken out of the address, so that a reload does not read it
 *  again. */
export function paint(now, zone, about) {
  seen = [now, zone];
  const why = hindrance(shop.meta);
  if (!why && about) history.replaceState(history.state, "", "#take");
  if (!why && (about || !line)) come(about).then(again);
  say("take-why", why || wrong);
  say("take-told", progress);
  show("take-ways", !why);
  show("take-files", shop.meta.role !== "wall");
  const looks = camera.isOpen(node("take-video"));
  show("take-video", looks);
  say("take-scan", looks ? t("Stop the camera") : t("Scan with the camera"));
  node("take-scan").setAttribute("aria-pressed", String(looks));
  paintSets(now, zone);
}

const again = () => paint(...seen);

// --- codes come in ---

/** One code, or none: what was kept from before the page is read first. */
function come(text) {
  line = (line?.catch(() => {}) || restore()).then(async () => {
    if (!text) return;
    [progress, wrong] = ["", ""];
    try {
      await bring(packedIn(text));
    } catch (why) {
      if (!(why instanceof Refused)) throw why;
      wrong = why.message;
    }
  });
  return line;
}

async function restore() {
  for (const packed of shop.meta.taking || []) {
    const part = await read(packed, shop.meta).catch(() => null);
    if (part) place(part, packed);
  }
  for (const one of [...sets.values()]) await opened(one).catch(() => sets.delete(one.key));
}

async function bring(packed) {
  const part = await read(packed, shop.meta);
  const one = place(part, packed);
  progress = part.of > 1 ? t("Code {code} of {of} is in.", { code: part.part, of: part.of }) : "";
  try {
    await opened(one);
  } catch (why) {
    sets.delete(one.key);
    throw why;
  } finally {
    await keepParts();
  }
}

function place({ set, part, of, piece }, packed) {
  const key = `${set}.${of}`;
  if (!sets.has(key) && sets.size >= MOST_SETS)
    throw new Refused(
      t("{most} lots wait here already. Take them or throw them away first. [[codes of other phones]]", {
        most: MOST_SETS,
      }),
    );
  const one = sets.get(key) || { key, set, of, parts: new Map(), acts: null };
  one.parts.set(part, { packed, piece });
  sets.set(key, one);
  turn += 1;
  return one;
}

async function opened(one) {
  if (one.acts || one.parts.size < one.of) return;
  const pieces = Array.from({ length: one.of }, (_, at) => one.parts.get(at + 1).piece);
  Object.assign(one, await open(one.set, pieces, shop.meta, Math.floor(clock.now())));
  turn += 1;
}

/** The codes so far, on the disk: a phone that is put away between two of them loses none. */
function keepParts() {
  const taking = [...sets.values()].flatMap((one) => [...one.parts.values()].map((part) => part.packed));
  return shop.remember({ taking }).catch(() => (progress += ` ${t("This phone is full: keep this page open.")}`));
}

async function drop(key) {
  sets.delete(key);
  [progress, wrong] = ["", ""];
  turn += 1;
  await keepParts();
}

// --- by camera, by photo ---

const seenIn = (picture, width, height, sizes) =>
  textIn(picture, width, height, node("screen-take").dataset.decoder, sizes);

async function scan() {
  const video = node("take-video");
  if (camera.isOpen(video)) return close();
  [progress, wrong] = ["", ""];
  try {
    await camera.open(video);
  } catch (why) {
    wrong = why.message;
    return null;
  }
  look(video);
  return null;
}

async function look(video) {
  let last = "";
  while (camera.isOpen(video)) {
    const text = await seenIn(video, video.videoWidth, video.videoHeight, 1).catch(noReader);
    if (text && text !== last) {
      await come((last = text));
      if ([...sets.values()].some((one) => one.acts)) close();
      again();
    }
    await new Promise((go) => setTimeout(go, LOOK_MS));
  }
}

/** What was pasted stays where it could not be read. */
async function readLink() {
  await come(node("take-link").value);
  if (!wrong) node("take-link").value = "";
}

/** A file that a phone took out: looked at like codes, taken when the person says so. */
async function readFile() {
  const [file] = node("take-file").files;
  [progress, wrong] = ["", ""];
  try {
    const acts = inFile(await file.text(), shop.meta, (on) => shop.heardOf(on) !== undefined, Math.floor(clock.now()));
    sets.set("file", { key: "file", set: "file", of: 1, parts: new Map(), acts });
    turn += 1;
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    wrong = why.message;
  }
  node("take-file").value = ""; // so that the same file can be read again
  again();
}

function noReader() {
  wrong = t(
    "The reader of codes is not on this phone yet. Open Sandtime once where there is signal, or let the phone's own camera open the link.",
  );
  close();
}

function close() {
  camera.close(node("take-video"));
}

async function readPhotos() {
  const files = [...node("take-photo").files];
  node("take-photo").value = ""; // so that the same file can be read again
  [progress, wrong] = ["", ""];
  for (const file of files) {
    const picture = await createImageBitmap(file).catch(() => null);
    const text = picture && (await seenIn(picture, picture.width, picture.height).catch(noReader));
    picture?.close();
    if (text) await come(text);
    else if (text === "") wrong = t("No code is seen in this picture. Fill the picture with the code and hold still.");
    else wrong ||= t("This file is no picture that the browser can read.");
  }
}

// --- the look before, and the taking ---

function paintSets(now, zone) {
  const fresh = `${turn} ${shop.meta.cursor} ${shop.rows().length}`;
  if (stamp === fresh) return;
  const whole = [...sets.values()].some((one) => one.acts);
  stamp = fresh;
  paintList(
    node("take-sets"),
    "take-set",
    [...sets.values()].map((one) => (one.acts ? outlook(one, now, zone) : partly(one))),
    paintSet,
  );
  if (whole) node("take-sets").querySelector("[data-whole=yes] h2").focus();
}

function paintSet(row, value) {
  paintWords(row, value);
  setData(row, "whole", value.whole);
  row.querySelector("[data-do=take-take]").hidden = !value.deed;
  paintList(row.querySelector(".acts"), "take-act", value.rows);
}

/** Acts of another phone, as they are: marked as tried, so that no correction of this phone's clock moves them. */
async function takeOver(key) {
  const { acts, marks } = sets.get(key);
  const fresh = acts.filter((act) => !isKnown(act));
  const full = await shop.keepAll(fresh, { tried: true, taken: Math.floor(clock.now()) }, marks);
  if (full) sayLoose();
  await drop(key);
  progress = tn(
    "Taken: {n} tap. This phone sends them too when it has signal.",
    "Taken: {n} taps. This phone sends them too when it has signal.",
    fresh.length,
  );
  events.say("kept");
  again();
  node("take-told").focus();
}
