// The outbox, an extension of htmx: a button whose markup says an act does not post by itself.  The act is kept on this
// phone and painted; htmx posts it with all that waits (sync/sync.js), now or once there is a signal.
import * as acts from "../data/acts.js";
import * as queries from "../data/queries.js";
import * as dialogs from "../ui/dialogs.js";
import { SYNC } from "../ui/act_markup.js";
import { notice } from "../ui/notice.js";
import { record } from "../ui/record.js";
import * as router from "../ui/router.js";
import { inTurn } from "../ui/turns.js";
import * as htmx from "../sync/htmx.js";
import { lazy } from "./lazy.js";

const landing = document.getElementById("landing");
const known = new WeakSet(); // buttons that htmx has read
let lib = null;
let api = null; // htmx's own, once it has the extension
let waiting = null; // while a tap that waited is clicked again: what becomes of it

/** Whether htmx is there, with this extension: asked for again where it did not come. */
export async function start() {
  lib ??= await htmx.load();
  if (lib && !api) lib.defineExtension("outbox", { init: (given) => (api = given), onEvent });
  return Boolean(api);
}

/** Whether htmx takes a click on a button; what a screen has put into the page since is made known to it. */
export function takes(button) {
  if (api && !known.has(button) && button.getAttribute("hx-post") === SYNC) {
    known.add(button);
    lib.process(button);
  }
  return Boolean(api);
}

/** A tap that waited for htmx is taken now, also where its button has been painted away since. */
export async function click(button) {
  const stray = button.isConnected ? null : button.getRootNode();
  if (stray) landing.append(stray);
  waiting = [];
  if (button.matches("form")) button.requestSubmit();
  else button.click();
  const works = waiting;
  waiting = null;
  stray?.remove();
  for (const work of works) await work();
}

/** Do what a button is for; what goes wrong is said on its sheet, else on top of the screen. */
export async function attempt(button, work) {
  const error = button.closest("dialog")?.querySelector(".error");
  try {
    if (error) error.textContent = "";
    await work();
  } catch (why) {
    if (error) error.textContent = why.message;
    else notice(why.message);
  }
}

/** What a button is about: its sheet's panel, the card or row that it stands on, else the open screen's. */
export function about(button) {
  const dialog = button.closest("dialog");
  return dialog ? dialogs.about(dialog.id) : button.closest("[data-on]")?.dataset.on || router.open().about;
}

/** A request that is an act is read as it was tapped, and kept in its turn; htmx is told that it need not go. */
function onEvent(name, { detail }) {
  const { elt: button, path, formData, triggeringEvent } = detail;
  if (name !== "htmx:configRequest" || path !== SYNC || button.id === "sync") return true;
  const { kind, on = about(button), ...fields } = api.getExpressionVars(button, triggeringEvent);
  const form = Object.fromEntries(formData);
  const from = router.open().name;
  const work = () => attempt(button, () => tell(button, acts.made(on, kind, fields, form), from, fields.sure));
  if (waiting) waiting.push(work);
  else inTurn(work);
  return false;
}

/** A panel goes out of the whole shop only when the person is sure. */
async function tell(button, born, from, sure) {
  const isBirth = ({ kind, on, act }) => kind === "undone" && queries.birth(on)?.id === act;
  const births = born.filter(isBirth);
  if (sure || !births.length) return keep(button, born, from);
  (await lazy("sure")).ask([...births, ...born.filter((act) => !births.includes(act))]);
}

/** Where a tap leads, it leads who has not gone on meanwhile. */
async function keep(button, born, from) {
  if (!("stays" in button.dataset)) button.closest("dialog")?.close();
  await record(...born);
  for (const when of document.querySelectorAll(".screen .when")) dialogs.resetWhen(when);
  if (button.dataset.then && router.open().name === from) router.go(button.dataset.then);
}
