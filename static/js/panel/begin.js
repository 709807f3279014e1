// Where a new panel is now: one of the steps of its route, or a coat that was just laid.  Loaded when first asked for.
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { asks, stepsFor } from "../core/fold/route.js";
import { offers } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import * as queries from "../data/queries.js";
import * as shop from "../data/state.js";
import { buttons, open } from "../ui/dialogs.js";
import { say, show } from "../ui/dom.js";
import { SUBSTRATE_WORDS, choices } from "./add.js";
import * as views from "../data/views.js";

const node = (id) => document.getElementById(id);

const asked = { route: "", substrate: "" };

export const actions = {
  begin: ({ route }) => openBegin(route),
  "begin-ground": ({ substrate }) => {
    asked.substrate = substrate;
    paintSteps();
  },
};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

/** Over the sheet that adds a panel: what is typed there goes along. */
function openBegin(route) {
  const name = node("add-name").value.trim();
  say("add-error", name ? "" : t("Say the name of the panel first."));
  if (!name) return node("add-name").focus();
  const { doc } = views.view(route);
  say("begin-name", `${name}. ${doc.name}`);
  Object.assign(asked, { route, substrate: choices(doc).substrate });
  paintSteps();
  node("dialog-begin").returnValue = "";
  open("dialog-begin", "");
}

/** The steps that the job needs; what is under it, where that changes them. */
function paintSteps() {
  const { route, substrate } = asked;
  const { doc } = views.view(route);
  const { substrates } = asks(doc);
  const chosen = { ...choices(doc), substrate };
  buttons(
    "begin-ground",
    (substrates.length ? [...substrates, "unknown"] : []).map((one) => [
      t(SUBSTRATE_WORDS[one]),
      { do: "begin-ground", substrate: one },
      "",
      one === substrate,
    ]),
  );
  show("begin-ground-box", substrates.length > 0);
  const act = { kind: "panel_added", route, choices: chosen };
  buttons(
    "begin-steps",
    stepsFor(doc, chosen).flatMap((step) => choicesOf(step, { ...act, step: step.id })),
  );
}

/** The step is next; of one that lays, each coat may have just been laid. */
function choicesOf({ do: does, words, coats = 1 }, act) {
  const each = ["fill", "coat"].includes(does) ? Array.from({ length: coats }, (_, nth) => nth + 1) : [];
  const laid = (coat) =>
    coats === 1 ? t("{step}: just laid", { step: words }) : t("{step}, coat {n}: just laid", { step: words, n: coat });
  return [
    [t("{step}: next [[a step that is due]]", { step: words }), { do: "begin-at", act }],
    ...each.map((coat) => [laid(coat), { do: "begin-at", act: { ...act, coat } }, "deed quiet"]),
  ];
}

/** A panel added at a step of its route, and with `coat` that coat of it just laid: the first choice for the shop's
 *  temperature.  What stands before was done before it, or it would count as sanded. */
function begun(added, step, coat) {
  const done = shop.supposing([added], () => acts.doneBefore(added.on, step)).map((act) => acts.earlier(act, 1));
  if (!coat) return [added, ...done];
  const film = shop.supposing([added, ...done], () => {
    const offer = offered(views.view(added.on).steps.find((one) => one.id === step));
    return acts.filmLaid(added.on, { ...offer, coat }, { step });
  });
  return [film, added, done].flat();
}

function offered({ cls, use, card }) {
  const products = queries
    .docs("product")
    .filter((one) => one.away_at === null)
    .map((one) => ({ ...one.doc, id: one.on }));
  const temp = lastRead(views.airState(), clock.now())?.[1] ?? ASSUMED_DC;
  const [first] = offers(products, cls, "", temp, use, card);
  if (!first) throw new Error(t("Nothing of this class is on the shelf. Bring a product back on the Shelf."));
  return first;
}

acts.teach({ begun });
node("dialog-begin").addEventListener("cancel", ({ target }) => (target.returnValue = "cancel"));
node("dialog-begin").addEventListener("close", ({ target }) => target.returnValue || node("dialog-add").close());
