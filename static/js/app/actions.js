// Every button of the tool, the screens beside the floor, and ringing.  Loaded after app/online.js.
import * as acts from "../data/acts.js";
import * as events from "../data/events.js";
import { record, undoLast } from "../ui/record.js";
import * as emptying from "../screens/cup.js";
import * as dialogs from "../ui/dialogs.js";
import * as deviceSettings from "./device_settings.js";
import * as panelPage from "../screens/panel.js";
import * as shelf from "../screens/shelf.js";
import * as book from "../screens/book.js";
import { hush, notice, noticeAction } from "../ui/notice.js";
import * as alarm from "../alarm/alarm.js";
import * as router from "../ui/router.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as connection from "../sync/connection.js";
import * as sync from "../sync/sync.js";
import * as locale from "../ui/locale.js";
import * as versions from "./versions.js";
import * as zoneTable from "../data/zone.js";
import { t } from "../core/base/translate.js";
import { actionOf, lazy } from "./lazy.js";
import { show } from "../ui/dom.js";
import { takeOut } from "../ui/export_taps.js";

const SOON_MS = 1_500;

export function start() {
  alarm.start();
  locale.settle();
  deviceSettings.start();
  versions.start();
  zoneTable.keep();
  if (navigator.serviceWorker?.controller) setTimeout(() => lazy("lay").catch(() => {}), SOON_MS); // the phone holds it
}

/** This phone has joined another shop: its page begins anew there. */
export const left = () => lazy("join").then((screen) => screen.moved());

export const wait = alarm.wait;

/** Called at every tick. */
export function watch() {
  alarm.watch();
  versions.watch(alarm.isArmed());
}

/** The server answered; `back` where it did not before: it may have come with a new version. */
export function heard(back) {
  if (back) versions.look();
  dialogs.heard();
  zoneTable.keep();
}

/** The open screen beside the floor. */
export function paintScreen({ name, about }, now, zone) {
  if (name === "panel") panelPage.paintPanel(about, now, zone);
  if (name === "panel" || name === "ring") lazy("calendar").then((screen) => screen.paint(now, zone, about));
  lazy(name)?.then((screen) => {
    screen.paint(now, zone, about);
    router.arrived(name);
  });
  if (name === "shelf") shelf.paintShelf(now);
  if (name === "floor" && mayBeUnprinted())
    import("../phones/phrase_reminder.js").then(
      (screen) => screen.paint(now),
      () => {},
    );
  if (name !== "book") return;
  book.paintBook(now, zone);
  if (document.visibilityState === "visible") shop.sawFull();
  if (connection.mood() === "stranger") lazy("anew").then((screen) => screen.paint());
  else show("anew", false);
}

/** Whether the line on the recovery phrase has to be looked at: nobody made one in a shop in use, or it stands
 *  there. */
const mayBeUnprinted = () =>
  (shop.meta.phrase === false && !shop.meta.unused) || !document.getElementById("unprinted").hidden;

/** A button was tapped, or a field changed: do what its data-do says, and say beside it what went wrong. */
export async function tapped(button, zone) {
  const row = button.closest("[data-key]");
  const data = { ...row?.dataset, do: button.dataset.change, ...button.dataset };
  const dialog = button.closest("dialog");
  const on = dialog ? dialogs.about(dialog.id) : button.closest("[data-on]")?.dataset.on || router.open().about;
  const error = dialog?.querySelector(".error");
  try {
    if (error) error.textContent = "";
    await (ACTIONS[data.do] || (await lazyAction(data.do)))(data, on, zone);
  } catch (why) {
    if (error) error.textContent = why.message;
    else notice(why.message);
  }
}

const act = (name) => (data, on) => record(acts[name](on));

async function lazyAction(name) {
  const work = await actionOf(name);
  return async (data, on, zone) => {
    await work(data, { on, zone });
    events.say("changed");
  };
}

/** Every button of the tool, by its data-do. */
const ACTIONS = {
  ...alarm.actions,
  add: () => dialogs.openAdd(),
  "add-panel": async ({ route }) => {
    const [name, job] = ["add-name", "add-job"].map((id) => document.getElementById(id).value);
    const born = acts.panelAdded(name, job, route ? views.view(route).doc : null);
    dialogs.close("dialog-add");
    await record(born);
  },
  "lay-film": async ({ offer }, on) => {
    const born = acts.filmLaid(on, JSON.parse(offer));
    const used = acts.cupUsed(born);
    dialogs.close("dialog-lay");
    await record(born, ...used);
  },
  "cup-mixed": async ({ cup }) => {
    await record(acts.cupMixed(JSON.parse(cup)));
    router.go("#floor");
  },
  "cup-empty": (data, on) => emptying.openEmptying(on),
  "cup-dial": (data) => emptying.dial(data),
  "cup-emptied": async (data) => {
    const { on, left } = emptying.answered(data);
    const born = acts.cupEmptied(on, left);
    emptying.close();
    await record(born);
  },
  ready: act("foundReady"),
  notyet: act("foundNotReady"),
  done: act("stepDone"),
  scuff: act("scuffAdded"),
  back: (data, on) => dialogs.openBack(on),
  "send-back": async ({ step }, on) => {
    const area = document.getElementById("back-area").value.trim();
    if (!area) throw new Error(t("Say what and where first: one word will do. Nothing was saved."));
    const born = acts.sentBack(on, step, "", area);
    dialogs.close("dialog-back");
    await record(born);
  },
  away: async (data, on) => {
    await record(acts.putAway(on));
    if (router.open().name === "panel") router.go("#floor");
  },
  "bring-back": ({ key }) => record(acts.broughtBack(key)),
  open: (data, on) => router.go(`#panel=${on}`),
  dial: (data) => dialogs.dial(data),
  chip: (data) => dialogs.chip(data),
  pick: (data) => dialogs.pick(data),
  step: (data, on) => dialogs.openStep(on),
  "add-step": async ({ where }, on) => {
    const next = views.view(on).steps.find((step) => step.done_at === null);
    const born = acts.stepAdded(on, dialogs.stepSaid(), where === "now" && next ? next.id : null);
    dialogs.close("dialog-step");
    await record(born);
  },
  "step-here": ({ key }, on) => record(...acts.stepsDoneBefore(on, key)),
  drop: ({ key }, on) => record(acts.stepDropped(on, key)),
  earlier: ({ key }, on) => record(acts.stepMovedBy(on, key, -1)),
  later: ({ key }, on) => record(acts.stepMovedBy(on, key, 2)),
  rename: (data, on) => dialogs.openRename(on),
  "tell-name": async (data, on) => {
    const [name, job] = ["rename-name", "rename-job"].map((id) => document.getElementById(id).value);
    const born = acts.panelNamed(on, name, job);
    dialogs.close("dialog-rename");
    await record(born);
  },
  "keep-route": (data, on) =>
    record(acts.routeWritten(t("As {name}", { name: views.view(on).name }).slice(0, 200), on)),
  product: ({ key }) => record(acts.productMoved(key, views.view(key).away_at === null)),
  undo: ({ key, on, out }) => record(...acts.undoing(out === "yes" ? "restored" : "undone", on, key)),
  "undo-last": undoLast,
  "say-now": ({ key }) => sayNow(key),
  "throw-away": async ({ key }) => {
    await shop.throwAway(key);
    events.say("changed");
  },
  unit: ({ what, unit }) => record(acts.born("shop", "units_chosen", { units: { [what]: unit } })),
  theme: () => deviceSettings.otherTheme(),
  tongue: ({ tongue }) => locale.read(tongue),
  "sync-now": () => sync.ask(),
  "take-out": takeOut,
  notice: () => noticeAction(),
  hush: () => hush(),
};

async function sayNow(actId) {
  const { kind, on, id, at, who, ...fields } = shop.rowOf(actId).act;
  const again = acts.born(on, kind, fields);
  await record(again);
  await shop.throwAway(actId);
  events.say("changed");
}
