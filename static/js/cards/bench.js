// Bench cards: what each kind of step is.  Loaded when a panel's page opens, or when one is first asked for.
import { gunCaution, gunWords } from "../core/bench/gun.js";
import { benchCard } from "../core/card/bench_card.js";
import { stepWords } from "../core/card/panel_card.js";
import * as finishing from "../core/fold/finishing.js";
import { t } from "../core/base/translate.js";
import * as acts from "../data/acts.js";
import * as queries from "../data/queries.js";
import * as views from "../data/views.js";
import { open } from "../ui/dialogs.js";
import { go } from "../ui/router.js";
import { laneOf, say } from "../ui/dom.js";
import { pressureUnit } from "../ui/units.js";
import { firstSprayed, lastGun } from "./offered.js";

const page = document.documentElement;
let cards = null; // by key, as their markup came
let loading = null;

export const actions = {
  "how-open": async ({ key, lane }, { on }) => {
    await load();
    openStep(on, stepOf(on, key, lane));
  },
  "how-show": async ({ card }) => {
    await load();
    show(card, "", null);
  },
  "how-gun": ({ about }) => {
    closeAll();
    go(`#sheet=${about}`);
  },
};

/** The first line of the card under each step that is due on the panel's page. */
export function paint(now, zone, about) {
  if (page.dataset.how === "off" || !queries.birth(about)) return;
  if (!cards)
    return load().then(
      () => paint(now, zone, about),
      () => {}, // with no signal and nothing kept: asked again at the next tick
    );
  for (const line of document.querySelectorAll("#panel-card .first")) {
    const step = stepOf(about, "", laneOf(line));
    const words = step ? cards.get(keyOf(about, step)).querySelector(".first").textContent : "";
    if (line.textContent !== words) line.textContent = words;
  }
}

/** The step that is named, else the one that is due on a lane. */
const stepOf = (on, key, { lane, lane_step: step } = {}) =>
  finishing.steps(views.view(on)).find(({ id }) => id === key) ?? acts.stepAt(on, { lane, step });

function openStep(on, step) {
  if (step) show(keyOf(on, step), stepWords(step), firstSprayed(on, step));
}

/** A card that this version does not know is guessed at. */
function keyOf(on, step) {
  const steps = finishing.steps(views.view(on));
  const at = steps.findIndex((one) => one.id === step.id);
  const key = benchCard(steps, at);
  return cards.has(key) ? key : benchCard(steps.with(at, { ...steps[at], card: "" }), at);
}

function show(key, words, offer) {
  const card = document.importNode(cards.get(key), true);
  const kind = card.querySelector(".kind");
  say("how-title", words || kind.textContent);
  if (!words || words === kind.textContent) kind.remove();
  paintGun(card.querySelector(".gun"), offer);
  document.getElementById("how-card").replaceChildren(card);
  open("dialog-how", "");
}

/** The set-up that worked last with the product which is offered first, as far as one was written down. */
function paintGun(box, offer) {
  box.hidden = !offer;
  if (!offer) return;
  const last = lastGun(offer.product);
  const [words, caution] = box.querySelectorAll("p");
  const unit = pressureUnit();
  words.textContent = last
    ? t("Worked last with {name}: {gun}.", { name: offer.name, gun: gunWords(last.gun, last.set, unit) })
    : t("No gun written down for {name} yet: pressure at the gun inlet, trigger pulled; tip; turns.", {
        name: offer.name,
      });
  caution.textContent = last ? gunCaution(last.set, unit) : "";
  const button = box.querySelector("button");
  button.textContent = t("Guns of this product");
  button.dataset.about = offer.product;
}

function closeAll() {
  for (const dialog of document.querySelectorAll("dialog[open]")) dialog.close();
}

/** All cards in the language of the page, once; asked again when they did not come. */
function load() {
  loading ||= fetchCards().catch((why) => {
    loading = null;
    throw why;
  });
  return loading;
}

async function fetchCards() {
  const answer = await fetch(document.getElementById("sync").dataset.cards);
  const { body } = new DOMParser().parseFromString(await answer.text(), "text/html");
  document.body.append(body.querySelector("#dialog-how"));
  cards = new Map([...body.querySelectorAll("article")].map((card) => [card.dataset.card, card]));
}
