// Sync with the server: one htmx element posts the outbox and takes the answer in.
import * as clock from "../data/clock.js";
import * as connection from "./connection.js";
import * as events from "../data/events.js";
import * as htmx from "./htmx.js";
import * as shop from "../data/state.js";
import { enter, leave } from "./page_lock.js";
import { correct, probe } from "./server_clock.js";

const element = document.getElementById("sync");
const landing = document.getElementById("landing");
const PATIENCE_MS = 8_000;
// after the patience: a post that nothing comes of is told again, by a connection of its own
const GIVEN_UP_MS = 52_000;
const APART_MS = 600_000; // our own rule: who heard nothing for longer is told what others did
let busy = false;
let again = false;
let most = 50;
let batch = [];
let sent = null;
let failures = 0;
let deaf = false;
let apart = null; // what tells of a long silence, while its answers come in
let timer = 0;
let there = false; // it answered a moment ago, and what time it is: no need to ask that first
let postedCursor = 0; // the cursor that was posted
let silence = "unreached"; // what to call it when no answer comes

/** "answered" is said after each answer or failure, with {changed}: the things that the answer changed on this phone;
 *  null for all, undefined for none. */
export function start() {
  element.addEventListener("htmx:configRequest", ({ detail }) => {
    postedCursor = shop.meta.cursor || 0;
    detail.parameters.set("acts", JSON.stringify(batch.map((row) => row.act)));
    const marked = batch.filter((row) => row.mark).map((row) => [row.act.id, row.mark]);
    if (marked.length) detail.parameters.set("marks", JSON.stringify(Object.fromEntries(marked)));
    detail.parameters.set("cursor", String(shop.meta.cursor || 0));
    detail.parameters.set("shop", shop.meta.shop || "");
    detail.parameters.set("memory", shop.meta.memory || "");
    detail.parameters.set("cursor_act", shop.meta.cursorAct || "");
  });
  element.addEventListener("htmx:beforeSend", ({ detail }) => watchOver(detail.xhr));
  element.addEventListener("htmx:afterRequest", ({ detail }) => heard(detail.xhr));
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
  await enter();
  silence = connection.unanswered(false);
  if (!there && (connection.mood() !== "heard" || !clock.isKnown())) {
    const why = await probe();
    if (why) {
      silence = why;
      return ended();
    }
  }
  there = false;
  await correct(); // also what a page tapped that does not know the time yet
  if (!(await htmx.load())) return ended();
  batch = shop.unsent().slice(0, most);
  if (batch.some((row) => !row.tried)) await shop.mark(batch, { tried: true });
  sent = [Date.now(), performance.now()];
  element.dispatchEvent(new CustomEvent("sandtime:sync"));
}

/** A post of which nothing comes is said to be waited for, and in the end given up. */
function watchOver(xhr) {
  let late = 0;
  const wait = () => {
    clearTimeout(late);
    late = setTimeout(() => {
      connection.change({ mood: "silent" });
      late = setTimeout(() => xhr.abort(), GIVEN_UP_MS);
    }, PATIENCE_MS);
  };
  for (const way of [xhr, xhr.upload]) way.addEventListener("progress", wait);
  xhr.addEventListener("loadend", () => clearTimeout(late));
  wait();
}

async function heard(xhr) {
  const { status } = xhr;
  let news = {};
  try {
    if (status === 200) news = await landed();
    else if (status === 401 && (!shop.meta.phone || (await wasForgotten(xhr)))) await begin();
    else {
      connection.change({ ended: xhr.getResponseHeader("Sandtime-Phone") === "ended" });
      silence = connection.unanswered(connection.mood() === "silent");
      await failed(status, xhr.responseText);
    }
  } catch {
    failures += 1; // it was not taken in: asked again
    connection.change({ mood: "asking" });
  }
  landing.replaceChildren();
  finish(news);
}

/** Nothing was posted: the server is silent, or htmx did not come. */
async function ended() {
  await failed(0, "");
  finish({});
}

function finish(news) {
  busy = false;
  leave();
  events.say("answered", news);
  if (again) {
    again = false;
    ask();
  } else if (failures) timer = setTimeout(ask, Math.min(60_000, 2_500 * 2 ** Math.min(failures, 5)));
}

async function landed() {
  const {
    cursor,
    act: cursorAct,
    now,
    more,
    shop: id,
    name,
    zone,
    phone,
    role,
    key,
    sign,
    seen,
    memory,
    unused,
    phrase,
  } = document.getElementById("cursor").dataset;
  const verdicts = JSON.parse(document.getElementById("verdicts").textContent);
  const sections = [...landing.querySelectorAll("[data-fragment]")];
  const fragments = sections.map((section) => {
    return {
      on: section.dataset.fragment,
      seq: Number(section.dataset.seq),
      ...JSON.parse(section.querySelector("script").textContent),
    };
  });
  const { meta } = shop;
  const isBack = Number(cursor) < postedCursor || (Boolean(meta.memory) && meta.memory !== memory);
  const putBack = meta.shop === id && (meta.recount || isBack); // another shop is none of it
  const recount = putBack ? await (await import("./resend.js")).resend(fragments, more !== "yes", isBack) : null;
  const absence = putBack ? null : await afterSilence(fragments, more === "yes");
  failures = 0;
  most = 50;
  again ||= more === "yes" || shop.unsent().length > batch.length;
  connection.change({ mood: "heard" });
  clock.heard(Number(now), ...sent);
  await correct();
  if (deaf) return {};
  const emptied =
    meta.phone && !meta.fresh ? {} : { emptied: Number(cursor) > 0 && !meta.began, fresh: more === "yes" };
  const about = {
    shop: id,
    name,
    zone,
    phone,
    role,
    key,
    sign,
    seen: Number(seen),
    memory,
    recount,
    unused: unused === "yes",
    phrase: phrase === "yes",
  };
  const anew = Boolean(putBack) || meta.shop !== id;
  const extra = { ...about, ...emptied, heard: Math.floor(clock.now()), clock: clock.words() };
  const fresh = await shop.hear({ fragments, verdicts, cursor: Number(cursor), cursorAct, extra, anew });
  if (more !== "yes") await shop.postAgain(Number(cursor));
  if (absence && more !== "yes") await absence.after();
  if (meta.carried && more !== "yes") again ||= await (await import("./carry_over.js")).settle();
  const notes = JSON.parse(document.getElementById("notes")?.textContent ?? "[]");
  if (notes.length) events.say("notes", notes);
  return { changed: anew ? null : fresh.length + verdicts.length ? fresh : undefined };
}

/** What tells of a long silence, once it knows what this phone held before; null where there was none. */
async function afterSilence(fragments, isMore) {
  const { heard: last, role, cursor } = shop.meta;
  if (last && cursor && role !== "wall" && clock.now() - last > APART_MS)
    apart = import("./absence.js").catch(() => null);
  const absence = await apart;
  absence?.before(fragments);
  if (!isMore) apart = null;
  return absence;
}

/** A shop in which nothing was done is forgotten after a time; its phone is not a stranger but begins again. */
const wasForgotten = async (xhr) =>
  xhr.getResponseHeader("Sandtime-Phone") === "unknown" && (await renewal()).mayBegin();

const renewal = () => import("./renew.js");

async function begin() {
  if (location.hash.startsWith("#join")) return; // it is about to join a shop, and needs none of its own
  const before = shop.meta.phone;
  if (before) await (await renewal()).leave();
  const body = new URLSearchParams({ zone: Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC" });
  const answer = await fetch("/begin", { method: "POST", headers: { "X-Sandtime": "1" }, body });
  if (!answer.ok) await failed(answer.status, "");
  if (answer.status === 403) connection.change({ mood: "closed" });
  if (!answer.ok) return;
  const { phone } = await answer.json();
  await (before ? (await renewal()).arrive(phone) : shop.remember({ phone, began: true }));
  again = true;
  there = clock.isKnown();
}

async function failed(status, words) {
  failures += 1;
  if (status === 413 || status === 400) {
    if (batch.length > 1) most = Math.ceil(batch.length / 2);
    else if (batch.length) await shop.mark(batch, { why: words });
  }
  const moods = { 0: silence, 401: "stranger", 403: "stranger", 409: "left", 429: "busy" };
  connection.change({ mood: moods[status] || "broken" });
}
