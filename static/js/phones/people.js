// Who does what: a panel taken, handed on with a note, let go; the name of this phone.  Loaded when first asked for.
import { record } from "../ui/record.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import { roster } from "../data/roster.js";
import { buttons, close, open } from "../ui/dialogs.js";
import { say } from "../ui/dom.js";
import { t } from "../core/base/translate.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";

const node = (id) => document.getElementById(id);

export const actions = {
  "people-take": (data, { on }) => record(acts.born(on, "panel_taken", { by: own() })),
  "people-let-go": (data, { on }) => record(acts.born(on, "panel_let_go")),
  "people-hand": (data, { on }) => openHanding(on),
  "people-handed": ({ to }, { on }) =>
    keptFrom("dialog-hand", acts.born(on, "panel_handed", { to, note: typed("hand-note") })),
  "people-name": () => openNaming(),
  "people-named": () =>
    keptFrom(
      "dialog-own",
      acts.born("shop", "phone_named", { phone: own(), name: typed("own-phone"), person: typed("own-person") }),
    ),
};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

function openHanding(on) {
  const others = roster(clock.now()).filter((phone) => !phone.own);
  node("hand-note").value = "";
  buttons(
    "hand-chips",
    notes(on).map((word) => [word, { do: "chip", field: "hand-note", word }]),
  );
  buttons(
    "hand-phones",
    others.map(({ id, title }) => [title, { do: "people-handed", to: id }]),
  );
  open("dialog-hand", on);
  say(
    "hand-error",
    others.length
      ? ""
      : t("This phone knows no other phone of the shop yet: one is known once it has a name, or did something."),
  );
}

/** What the next person may want to know, from the newest film: a tap each instead of typing. */
function notes(on) {
  const newest = views.view(on).films.at(-1);
  return newest ? [t("coat {n} on [[it is laid]]", { n: newest.coat }), newest.sheet.variant].filter(Boolean) : [];
}

function openNaming() {
  const { person = "", name = "" } = queries.phones()[own()] ?? {};
  node("own-person").value = person;
  node("own-phone").value = name;
  open("dialog-own", "shop");
}

/** A sheet closes only once what it holds is good. */
function keptFrom(sheet, born) {
  close(sheet);
  return record(born);
}

/** This phone's own number, which the server gives at the first word between them. */
function own() {
  const { phone } = shop.meta;
  if (phone?.length !== 36)
    throw new Error(
      t("This phone has not heard from the server yet. Try again when there is signal. Nothing was saved."),
    );
  return phone;
}

const typed = (id) => node(id).value.trim();
