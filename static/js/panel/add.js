// The sheet that adds a panel: which part, how straight, what colour, by which route.
import { COLOURS, FINISHES, SUBSTRATES, asks, usual } from "../core/fold/route.js";
import { later, t } from "../core/base/translate.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { setVals } from "../ui/act_markup.js";
import * as dialogs from "../ui/dialogs.js";
import { say } from "../ui/dom.js";
import { PARTS } from "./parts.js";

const WORDS = {
  straight: later("Straight for paint"),
  enough: later("Good enough"),
  plain: later("Base and clear"),
  effect: later("Metallic, pearl"),
  single: later("Single stage [[paint]]"),
};
const HOW = {
  straight: later("Guide coat and long block, again until it is straight."),
  enough: later("Orbital with a soft pad: fewer blocks, no guide coat."),
};
export const SUBSTRATE_WORDS = {
  steel: later("Steel [[the metal]]"),
  aluminium: later("Aluminium"),
  galvanised: later("Galvanised steel"),
  plastic: later("Plastic"),
  factory: later("Factory coat"),
  paint: later("Old paint"),
  unknown: later("Not known [[what a panel is made of]]"),
};
const { buttons, open } = dialogs;
const node = (id) => document.getElementById(id);
const chosen = { finish: "straight", colour: "plain" };

export const actions = {
  "add-part": ({ word }) => {
    node("add-name").value = word;
    node("add-finish-title").scrollIntoView({ block: "start", behavior: "smooth" });
  },
  "add-pick": ({ kind, word }) => {
    chosen[kind] = word;
    paintSheet();
  },
  ground: ({ route }) => openGround(route),
  "rename-ground": ({ substrate }) => paintSubstrates(substrate),
};

/** What was chosen for the job so far, with what a route takes for granted. */
export const choices = (doc) => ({ ...usual(doc), ...chosen });

export function openAdd() {
  node("add-name").value = node("add-job").value = "";
  Object.assign(chosen, { finish: "straight", colour: "plain" });
  buttons(
    "add-chips",
    PARTS.map(([words, name]) => [t(words), { do: "add-part", word: t(name) }]),
  );
  for (const part of node("add-chips").children) part.setAttribute("aria-label", part.dataset.word);
  paintSheet();
  open("dialog-add", "");
}

/** At a first visit the sheet may be open before the shop's routes have come. */
export const heard = () => node("dialog-add").open && node("add-routes").childElementCount === 1 && paintSheet();

/** Another panel of a job is made as straight, and of the same kind of colour, as the one before. */
function jobTold() {
  const job = node("add-job").value.trim();
  const before = queries.onFloor().findLast((on) => job && views.view(on).job === job && views.view(on).choices);
  if (!before) return;
  const { finish, colour } = { ...chosen, ...views.view(before).choices };
  Object.assign(chosen, { finish, colour });
  paintSheet();
}

function paintSheet() {
  for (const [kind, words] of [
    ["finish", FINISHES],
    ["colour", COLOURS],
  ])
    buttons(
      `add-${kind}`,
      words.map((word) => [t(WORDS[word]), { do: "add-pick", kind, word }, "", word === chosen[kind]]),
    );
  say("add-how", t(HOW[chosen.finish]));
  buttons("add-routes", [
    ...routes().flatMap(({ on, doc }) => [
      [doc.name, asks(doc).substrates.length ? { do: "ground", route: on } : adding(on)],
      [t("Further on"), { do: "begin", route: on }, "further"],
    ]),
    [t("Empty: I add the steps"), { do: "add-panel", act: { kind: "panel_added", route: "" } }, "last"],
  ]);
  for (const more of node("add-routes").querySelectorAll(".further"))
    more.setAttribute("aria-label", `${more.textContent}: ${more.previousSibling.textContent}`);
}

/** The routes as they stand in the list: those the shop wrote itself, then the others by their places. */
function routes() {
  const all = queries.docs("route").filter((one) => one.away_at === null);
  return all.sort((one, two) => (one.doc.rank ?? 0) - (two.doc.rank ?? 0));
}

const adding = (route, more = {}) => ({
  do: "add-panel",
  act: { kind: "panel_added", route, choices: { ...choices(views.view(route).doc), ...more } },
});

/** What is under it is asked where that changes the route or what is warned of: one tap more. */
function openGround(route) {
  const { doc } = views.view(route);
  const name = node("add-name").value.trim();
  say("add-error", name ? "" : t("Say the name of the panel first."));
  if (!name) return node("add-name").focus();
  say("ground-name", `${name}. ${doc.name}`);
  buttons(
    "ground-choices",
    [...asks(doc).substrates, "unknown"].map((one) => [t(SUBSTRATE_WORDS[one]), adding(route, { substrate: one })]),
  );
  node("dialog-ground").returnValue = "";
  open("dialog-ground", "");
}

/** The name of a panel, its job, and what it is made of, which may only be seen once it is bare. */
export function openRename(on) {
  dialogs.openRename(on);
  paintSubstrates(views.view(on).choices?.substrate ?? "");
}

function paintSubstrates(chosen) {
  buttons(
    "rename-ground",
    SUBSTRATES.map((one) => [t(SUBSTRATE_WORDS[one]), { do: "rename-ground", substrate: one }, "", one === chosen]),
  );
  const told = chosen ? { choices: { substrate: chosen } } : {};
  setVals(node("dialog-rename").querySelector("[data-do=tell-name]"), { kind: "panel_named", ...told });
}

node("dialog-ground").addEventListener("cancel", ({ target }) => (target.returnValue = "cancel"));
node("dialog-ground").addEventListener("close", ({ target }) => target.returnValue || node("dialog-add").close());
node("add-job").addEventListener("input", jobTold); // not "change": a tap on a route would end on buttons painted anew
