// The road to the server: one htmx element posts the outbox and takes the answer in.
import * as clock from "./clock.js";
import * as shop from "./shop.js";
import { t, tn } from "./core/tongue.js";

const road = document.getElementById("sync");
const landing = document.getElementById("landing");
const MOMENTS = ["at", "ask_at", "until_ms"]; // reckoned from the clock of the tap; for_ms was read off a clock on the wall
const PATIENCE_MS = 8_000;
export const signal = { mood: navigator.onLine ? "unknown" : "away", at: 0, why: "", ended: false };
let busy = false;
let again = false;
let most = 50;
let batch = [];
let sent = null;
let tell = () => {};
let failures = 0;
let deaf = false;
let timer = 0;

/** `onHeard(cards)` is called after each answer or failure, with the cards that Django drew. */
export function start(onHeard) {
  tell = onHeard;
  road.addEventListener("htmx:configRequest", ({ detail }) => {
    detail.parameters.set("acts", JSON.stringify(batch.map((row) => row.act)));
    detail.parameters.set("cursor", String(shop.meta.cursor || 0));
    detail.parameters.set("shop", shop.meta.shop || "");
    detail.parameters.set("memory", shop.meta.memory || "");
    detail.parameters.set("cursor_act", shop.meta.cursorAct || "");
  });
  road.addEventListener("htmx:afterRequest", ({ detail }) => heard(detail.xhr));
  addEventListener("online", ask);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && ask());
}

/** What is still on its way is for a shop that this phone has left: take nothing in any more. */
export const deafen = () => (deaf = true);

/** Post what waits and fetch what changed.  Asked while busy, it goes once more when done. */
export async function ask() {
  if (busy) {
    again = true;
    return;
  }
  busy = true;
  clearTimeout(timer);
  if ((signal.mood !== "heard" || !clock.isKnown()) && !(await probe())) return ended(0, "");
  if (!(await hasRoad())) return ended(0, "");
  try {
    batch = shop.unsent().slice(0, most);
    if (batch.some((row) => !row.tried)) await shop.mark(batch, { tried: true });
  } catch {
    // a full disk: the acts are in memory and are posted all the same
  }
  sent = [Date.now(), performance.now()];
  road.dispatchEvent(new CustomEvent("sandtime:sync"));
}

/** Ask the server's clock: whether it answers at all, and what time it is.  Asked before the first post after a
 *  silence, so that taps are posted only to a server that is there, with their moments put right. */
export async function probe(times = clock.isKnown() ? 1 : 3) {
  for (let turn = 0; turn < times; turn += 1) {
    const asked = [Date.now(), performance.now()];
    const said = await serverTime().catch(() => null);
    if (said === null) return false;
    await corrected(clock.heard(said, ...asked));
  }
  return true;
}

/** A timer of our own: with AbortSignal.timeout Chromium now and then left the body of an answer hanging for ever. */
async function serverTime() {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
  try {
    const answer = await fetch("/clock", { cache: "no-store", signal: patience.signal });
    return answer.ok ? Number(await answer.text()) : null;
  } finally {
    clearTimeout(timer);
  }
}

/** Our clock was wrong by this much: taps that were never posted move with it; posted ones may not change. */
async function corrected(error) {
  if (Math.abs(error) < 1500) return;
  const fresh = [...shop.outbox.values()].filter((row) => !row.tried);
  await shop.mark(fresh, ({ act, ahead }) => {
    const by = clock.errorOf(error, ahead);
    const moved = MOMENTS.filter((key) => act[key]).map((key) => [key, act[key] + by]);
    return { act: { ...act, ...Object.fromEntries(moved) } };
  });
}

async function heard(xhr) {
  const { status } = xhr;
  let cards = [];
  try {
    if (status === 200) cards = await landed();
    else if (status === 401 && !shop.meta.phone) await begin();
    else {
      signal.ended = xhr.getResponseHeader("Sandtime-Phone") === "ended";
      await failed(status, xhr.responseText);
    }
  } catch (why) {
    signal.mood = "full";
    signal.why = String(why);
  }
  landing.replaceChildren();
  finish(cards);
}

async function ended(status, words) {
  await failed(status, words);
  finish([]);
}

function finish(cards) {
  busy = false;
  tell(cards);
  if (again) {
    again = false;
    ask();
  } else if (failures) timer = setTimeout(ask, Math.min(60_000, 2_500 * 2 ** Math.min(failures, 5)));
}

async function landed() {
  const { cursor, act: cursorAct, now, more, shop: id, name, zone, phone, role, key, seen, memory } = document.getElementById("cursor").dataset;
  const verdicts = JSON.parse(document.getElementById("verdicts").textContent);
  const sections = [...landing.querySelectorAll("[data-fragment]")];
  const fragments = sections.map((section) => {
    return { on: section.dataset.fragment, seq: Number(section.dataset.seq), ...JSON.parse(section.querySelector("script").textContent) };
  });
  const cards = sections.map((section) => section.querySelector(".card")).filter(Boolean);
  const { meta } = shop;
  const anew = Boolean(meta.memory) && meta.memory !== memory;
  const putBack = meta.shop === id && (meta.recount || anew); // another shop is none of it
  const recount = putBack ? await (await import("./recount.js")).recount(fragments, more !== "yes", anew) : null;
  failures = 0;
  most = 50;
  again ||= more === "yes" || shop.unsent().length > batch.length;
  Object.assign(signal, { mood: "heard", at: clock.now(), why: "" });
  await corrected(clock.heard(Number(now), ...sent));
  if (deaf) return [];
  const emptied = shop.meta.phone ? {} : { emptied: Number(cursor) > 0 && !shop.meta.began };
  const about = { shop: id, name, zone, phone, role, key, seen: Number(seen), memory, cursorAct, recount };
  await shop.hear({ fragments, verdicts, cursor: Number(cursor), extra: { ...about, ...emptied } });
  return cards;
}

async function begin() {
  if (location.hash.startsWith("#join")) return; // it is about to join a shop, and needs none of its own
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";
  const answer = await fetch("/begin", { method: "POST", headers: { "X-Sandtime": "1" }, body: new URLSearchParams({ zone }) });
  if (!answer.ok) await failed(answer.status, "");
  if (answer.status === 403) signal.mood = "closed";
  if (!answer.ok) return;
  await shop.remember({ phone: (await answer.json()).phone, began: true });
  again = true;
}

async function failed(status, words) {
  failures += 1;
  if (status === 413 || status === 400) {
    if (batch.length > 1) most = Math.ceil(batch.length / 2);
    else if (batch.length) await shop.mark(batch, { why: words });
  }
  const moods = { 0: "away", 401: "stranger", 403: "stranger", 409: "left", 429: "busy" };
  Object.assign(signal, { mood: moods[status] || "broken", at: clock.now(), why: status === 0 ? "" : words });
}

/** What the signal line says. */
export function words() {
  const waits = shop.unsent().length;
  const refused = shop.refused().length;
  const said = {
    unknown: t("Starting"),
    heard: waits ? tn("Sending {n} tap", "Sending {n} taps", waits) : t("Saved [[taps]]"),
    away: t("No signal. Clocks keep running"),
    stranger: signal.ended ? t("A keeper has ended this phone. What it holds stays on it") : t("The server does not know this phone. What it holds stays on it"),
    left: t("This phone has joined another shop"),
    closed: t("This server makes no new shops. Ask a phone of your shop to let this one in"),
    busy: t("The server asks to wait. Clocks keep running"),
    broken: t("The server has trouble. Clocks keep running"),
    full: t("This phone is full: keep this page open until the taps are sent"),
  }[signal.mood];
  const parts = [said];
  if (waits && signal.mood !== "heard") parts.push(tn("{n} tap waits on this phone", "{n} taps wait on this phone", waits));
  if (refused) parts.push(tn("{n} tap refused: look in the Book", "{n} taps refused: look in the Book", refused));
  return `${parts.join(". ")}.`;
}

/** htmx comes after the floor, since it takes longer to read than all that paints the first cards; whether it is there. */
async function hasRoad() {
  if (globalThis.htmx) return true;
  if (document.readyState !== "complete") await new Promise((go) => addEventListener("load", go, { once: true }));
  const script = document.createElement("script");
  script.src = road.dataset.htmx;
  const there = new Promise((go) => (script.onload = script.onerror = go));
  document.head.append(script);
  await there;
  return Boolean(globalThis.htmx);
}
