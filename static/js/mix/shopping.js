// What to buy for a panel, or for all of a job: drawn from what this phone knows, with no signal too.
import { LANDS_PCT, LOSS_PCT } from "../core/bench/coating.js";
import * as shopping from "../core/bench/shopping.js";
import { later, t, tn } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import * as queries from "../data/queries.js";
import * as views from "../data/views.js";
import { CLASS_WORDS, buttons } from "../ui/dialogs.js";
import { paintList, say, show } from "../ui/dom.js";
import { copyOut } from "../device/clipboard.js";
import * as units from "../ui/units.js";
import { SIZES, mix, sizes, temperature } from "./state.js";

// Sizes that tins and tubes are sold in, ml and g: common practice, no source.
const TINS = {
  ml: [100, 250, 500, 1000, 2500, 5000],
  floz: [118, 237, 473, 946, 3785],
  g: [25, 50, 100, 250, 500, 1000, 2000],
  oz: [28, 57, 113, 227, 454, 907, 1814],
};
const ROLES = {
  filler: later("filler [[of a product to buy]]"),
  paint: later("paint [[of a product to buy]]"),
  hardener: later("hardener [[of a product to buy]]"),
  reducer: later("reducer [[of a product to buy]]"),
  other: later("fourth part [[of a product to buy]]"),
};
const KEPT = "buy-areas"; // square metres in tenths, of each panel whose size was dialled on this phone
const BLANK_AREA = 10;
const node = (id) => document.getElementById(id);
const chosen = { about: null, panels: [] };
const drawn = { chips: "" };

export const actions = {
  "buy-panel": ({ panel }) => {
    const { panels } = chosen;
    chosen.panels = panels.includes(panel) ? panels.filter((on) => on !== panel) : [...panels, panel];
  },
  "buy-job": ({ job }) => (chosen.panels = ofJob(job)),
  "buy-area": ({ key, by }) =>
    localStorage.setItem(KEPT, JSON.stringify({ ...areas(), [key]: clamp(areaOf(key) + Number(by), 1, 99) })),
  "buy-copy": copyText,
};

export function paint(now, zone, about) {
  if (chosen.about !== about) Object.assign(chosen, { about, panels: about ? [about] : queries.inWork() });
  const panels = chosen.panels.filter((on) => views.view(on).name);
  node("buy-back").hash = about ? `#panel=${about}` : "#floor";
  paintChips(panels);
  paintList(
    node("buy-areas"),
    "buy-area-row",
    panels.map((on) => ({ key: on, name: views.view(on).name, area: units.area(areaOf(on) / 10) })),
  );
  const rows = [...productRows(panels), ...paperRows(panels)];
  paintList(node("buy-list"), "part-row", rows);
  say("buy-none", rows.length ? "" : t("Nothing is left to lay or to sand on these panels."));
  show("buy-out", rows.length > 0);
  const text = [names(panels), ...rows.map(asText)].join("\n");
  if (node("buy-text").value !== text) {
    node("buy-text").value = text;
    say("buy-copy", t("Copy the list"));
  }
}

const asText = ({ what, amount, to, mark }) => `${what}: ${amount}, ${[to, mark].filter(Boolean).join("; ")}`;

const names = (panels) =>
  t("To buy for {panels}", { panels: panels.map((on) => views.view(on).name).join(", ") || t("no panel") });

/** A chip for each panel on the floor, and one for all of a job. */
function paintChips(panels) {
  const floor = queries.inWork();
  const jobs = [...new Set(floor.map((on) => views.view(on).job).filter(Boolean))].filter(
    (job) => ofJob(job).length > 1,
  );
  const chips = [
    ...jobs.map((job) => [t("All of {job} [[panels of a job]]", { job }), { do: "buy-job", job }]),
    ...floor.map((on) => [views.view(on).name, { do: "buy-panel", panel: on }, "", panels.includes(on)]),
  ];
  if (drawn.chips === JSON.stringify(chips)) return;
  drawn.chips = JSON.stringify(chips);
  buttons("buy-panels", chips);
}

const ofJob = (job) => queries.inWork().filter((on) => views.view(on).job === job);

function productRows(panels) {
  const onShelf = queries.docs("product").filter((one) => one.away_at === null);
  const known = onShelf.map((one) => ({ ...one.doc, id: one.on }));
  const { volume, weight } = queries.units();
  const usual = { lands_pct: mix.lands ?? LANDS_PCT, loss_pct: mix.loss ?? LOSS_PCT };
  const tins = { volume: TINS[volume], weight: TINS[weight] };
  return shopping.products(panels.map(workOf), known, temperature(), { ...usual, ...tins }).flatMap(rowsOf);
}

/** The lines of one product: each part, or why nothing is known of it. */
function rowsOf({ product, variant, cls, name, parts, by, typical, why }) {
  const key = `${product} ${variant} ${cls}`;
  const called = [name || (cls ? t(CLASS_WORDS[cls]) : t("Product")), variant].filter(Boolean).join(", ");
  if (why) return [{ key, what: called, amount: "?", to: why.replace(` ${t("Nothing was saved.")}`, "") }];
  const much = by === "weight" ? units.weight : units.volume;
  const mark = typical ? t("typical, check your sheet") : t("from the sheet");
  return parts.map(({ role, name: own, amount, tins }, nth) => ({
    key: `${key} ${nth}`,
    what: t("{product}: {part} [[to buy]]", {
      product: called,
      part: own || t(ROLES[cls === "putty" && role === "paint" ? "filler" : role]),
    }),
    amount: much(amount),
    to: t("buy {tins}", { tins: tins.map((one) => tinWords(one, much)).join(" + ") }),
    mark,
  }));
}

const tinWords = ([count, size], much) => (count > 1 ? `${count} × ${much(size)}` : much(size));

const paperRows = (panels) =>
  shopping.papers(panels.map(workOf)).map(({ grit, discs, packs }) => ({
    key: `P${grit}`,
    what: t("Paper P{grit}", { grit }),
    amount: tn("{n} disc", "{n} discs", discs),
    to: t("buy {tins}", { tins: tn("{n} pack of 10", "{n} packs of 10", packs) }),
    mark: t("typical, no source"),
  }));

function workOf(on) {
  const { steps, films } = views.view(on);
  return { steps, films, area_m2: areaOf(on) / 10 };
}

const areas = () => JSON.parse(localStorage.getItem(KEPT) ?? "{}");

/** As dialled for this panel, else the size of the part that its name begins or ends with, else a square metre. */
function areaOf(on) {
  const name = views.view(on).name.toLocaleLowerCase();
  const part = Object.keys(SIZES).find((one) => name.includes(t(one).toLocaleLowerCase()));
  return areas()[on] ?? (part ? sizes()[part] : BLANK_AREA);
}

async function copyText() {
  say("buy-copy", await copyOut(node("buy-text")));
}
