// What every button of the tool does that is no act, the screens beside the floor, and ringing.  Loaded after
// app/online.js.
import * as acts from "../data/acts.js";
import * as events from "../data/events.js";
import { record } from "../ui/record.js";
import * as emptying from "../screens/cup.js";
import * as floor from "../screens/floor.js";
import * as dialogs from "../ui/dialogs.js";
import * as adding from "../panel/add.js";
import * as deviceSettings from "./device_settings.js";
import * as panelPage from "../screens/panel.js";
import * as shelf from "../screens/shelf.js";
import * as book from "../screens/book.js";
import { hush, noticeAction } from "../ui/notice.js";
import * as alarm from "../alarm/alarm.js";
import * as router from "../ui/router.js";
import * as disk from "../data/full_disk.js";
import * as shop from "../data/state.js";
import * as connection from "../sync/connection.js";
import * as sync from "../sync/sync.js";
import * as locale from "../ui/locale.js";
import * as outbox from "./outbox.js";
import * as versions from "./versions.js";
import * as zoneTable from "../data/zone.js";
import { actionOf, lazy } from "./lazy.js";
import { laneOf, show } from "../ui/dom.js";
import { takeOut } from "../ui/export_taps.js";

const SOON_MS = 1_500;

export function start() {
  alarm.start();
  locale.settle();
  deviceSettings.start();
  versions.start();
  zoneTable.keep();
  if (navigator.serviceWorker?.controller) setTimeout(() => lazy("lay").catch(() => {}), SOON_MS); // the phone holds it
  settle();
}

/** The page is whole once htmx came too, without which no tap is taken: asked again at every tick. */
const settle = () => outbox.start().then((isWhole) => isWhole && (document.body.dataset.whole = "yes"));

/** This phone has joined another shop: its page begins anew there. */
export const left = () => lazy("join").then((screen) => screen.moved());

export const wait = alarm.wait;

/** Called at every tick. */
export function watch() {
  alarm.watch();
  versions.watch(alarm.isArmed());
  if (!document.body.dataset.whole) settle();
}

/** The server answered; `back` where it did not before: it may have come with a new version. */
export function heard(back) {
  if (back) versions.look();
  adding.heard();
  zoneTable.keep();
}

/** The open screen beside the floor. */
export function paintScreen({ name, about }, now, zone) {
  if (name === "panel") panelPage.paintPanel(about, now, zone);
  if (name === "panel")
    lazy("how").then(
      (screen) => screen.paint(now, zone, about),
      () => {},
    );
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
  if (document.visibilityState === "visible") disk.sawFull();
  if (connection.mood() === "stranger") lazy("anew").then((screen) => screen.paint());
  else show("anew", false);
}

/** Whether the line on the recovery phrase has to be looked at: nobody made one in a shop in use, or it stands
 *  there. */
const mayBeUnprinted = () =>
  (shop.meta.phrase === false && !shop.meta.unused) || !document.getElementById("unprinted").hidden;

export const takes = outbox.takes;

/** Whether all is there that a tap on this button needs. */
export const isWholeFor = (button) => !isHtmx(button) || outbox.start();

/** A button was tapped, or a field changed: do what its data-do says; what is htmx's has waited for it. */
export function tapped(button, zone) {
  if (isHtmx(button)) return outbox.click(button);
  const row = button.closest("[data-key]");
  const lane = laneOf(button);
  const data = { ...row?.dataset, do: button.dataset.change, ...button.dataset, lane };
  const on = outbox.about(button);
  return outbox.attempt(button, async () => (ACTIONS[data.do] || (await lazyAction(data.do)))(data, on, zone));
}

const isHtmx = (button) => button.matches("[hx-post], [hx-get]");

async function lazyAction(name) {
  const work = await actionOf(name);
  return async (data, on, zone) => {
    await work(data, { on, zone });
    events.say("changed");
  };
}

/** Every button of the tool that says no act, by its data-do. */
const ACTIONS = {
  ...alarm.actions,
  ...adding.actions,
  add: () => adding.openAdd(),
  "cup-empty": (data, on) => emptying.openEmptying(on),
  "cup-dial": (data) => emptying.dial(data),
  open: (data, on) => router.go(`#panel=${on}`),
  dial: (data) => dialogs.dial(data),
  chip: (data) => dialogs.chip(data),
  pick: (data) => dialogs.pick(data),
  step: (data, on) => dialogs.openStep(on),
  rename: (data, on) => adding.openRename(on),
  "curing-all": () => {
    floor.showAllCuring();
    events.say("changed");
  },
  "say-now": ({ key }) => sayNow(key),
  "throw-away": async ({ key }) => {
    await shop.throwAway(key);
    events.say("changed");
  },
  theme: () => deviceSettings.otherTheme(),
  "how-switch": () => deviceSettings.switchHow(),
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
