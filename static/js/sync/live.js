// Hears at once that the shop moved: a stream from the server while the page is seen; where streams do not come
// through, a question every few seconds.  What is missed is made good by the cursor at the next look.
import * as shop from "../data/state.js";
import * as connection from "./connection.js";
import * as sync from "./sync.js";

const PATIENCE_MS = 8_000; // a stream that says nothing in this time is held back by something on the way
const POLL_MS = 4_000; // also while a keeper has ended this phone: it may be let back in
const AGAIN_MS = 300_000; // while asking, the stream is tried again
const LONGEST_MS = 60_000;
let stream = null;
let timer = 0;
let tries = 0;
let blockedAt = -Infinity;
let tag = "";

export function start() {
  document.addEventListener("visibilitychange", turn);
  addEventListener("online", again);
  turn();
}

/** A page that nobody sees holds no stream. */
function turn() {
  if (document.visibilityState === "visible") again();
  else close();
}

function again() {
  tries = 0;
  blockedAt = -Infinity;
  next();
}

function close() {
  stream?.close();
  stream = null;
  clearTimeout(timer);
}

const later = (work, ms) => {
  clearTimeout(timer);
  timer = setTimeout(work, ms * (0.75 + Math.random() / 2));
};

function next() {
  close();
  if (document.visibilityState !== "visible") return;
  if (!shop.meta.phone) later(next, 1_000);
  else if (performance.now() - blockedAt < AGAIN_MS || connection.mood() === "stranger") poll();
  else listen();
}

function listen() {
  let first = true;
  const own = (stream = new EventSource(`/live?role=${shop.meta.role || ""}`));
  timer = setTimeout(() => silent(2), PATIENCE_MS);
  own.addEventListener("moved", ({ data }) => {
    if (first) clearTimeout(timer);
    tries = 0;
    moved(Number(data), first);
    first = false;
  });
  own.addEventListener("ask", () => sync.ask());
  own.addEventListener("error", () => own === stream && silent(1));
}

/** No stream: is the server there?  If so something holds streams back; if not, again later. */
async function silent(by) {
  close();
  tries += by;
  const there = await asked();
  if (!there && tries === by) sync.ask(); // the signal line says so at once
  if (document.visibilityState !== "visible" || stream) return;
  if (there && tries > 1) blockedAt = performance.now();
  later(next, there || connection.mood() === "stranger" ? POLL_MS / 4 : Math.min(LONGEST_MS, 1_000 * 2 ** tries));
}

async function poll() {
  const there = await asked();
  if (document.visibilityState !== "visible" || stream) return;
  tries = there ? 0 : tries + 1;
  later(next, there || connection.mood() === "stranger" ? POLL_MS : Math.min(LONGEST_MS, POLL_MS * 2 ** tries));
}

/** Ask where the shop stands; whether the server answered this phone. */
async function asked() {
  const answer = await fetch("/moved", { cache: "no-store", headers: { "If-None-Match": tag } }).catch(() => null);
  if (answer?.status === 304) return true;
  if (answer?.status === 401) {
    tag = "";
    if (connection.mood() !== "stranger") sync.ask();
  }
  if (!answer?.ok) return false;
  const shopNow = await answer.json().catch(() => null);
  if (shopNow && shopNow.role !== shop.meta.role) sync.ask();
  else if (shopNow) moved(shopNow.seq, !tag);
  tag = shopNow ? answer.headers.get("ETag") : "";
  return Boolean(shopNow);
}

/** The first word after a silence is worth a look when it is not what this phone holds: a shop may have been put
 *  back. */
function moved(seq, first) {
  const cursor = shop.meta.cursor || 0;
  if (seq > cursor || (first && (seq !== cursor || connection.mood() !== "heard"))) sync.ask();
}
