// The mix: parts of a cup and its marks, hardener of a putty, how much for an area.  Loaded when its screen is opened.
import { caution } from "../core/bench/cautions.js";
import { hardenerWarning } from "../core/bench/mixing.js";
import { decimal, t, tn } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import { shuts, span } from "../core/base/words.js";
import { filmOf } from "../core/bench/coating.js";
import { buttons } from "../ui/dialogs.js";
import * as work from "./amounts.js";
import { setVals } from "../ui/act_markup.js";
import { paintList, say, show } from "../ui/dom.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import * as units from "../ui/units.js";
import {
  SIZES,
  dial,
  dialHardener,
  isPutty,
  mix,
  product,
  resize,
  set,
  shareOf,
  sizes,
  take,
  temperature,
  turn,
  variant,
} from "./state.js";

const CUPS_ML = [250, 400, 600, 1000]; // sizes that mixing cups come in: common practice, no source
const SPAN_PM = [15, 30]; // hardener of a polyester putty: 1.5 to 3 % by weight, common practice, no source
const picker = document.getElementById("mix-product");
const boxes = new Map();

export const actions = {
  "mix-product": () => take(picker.value),
  "mix-variant": ({ variant }) => set({ variant, dialledPm: null }),
  "mix-mode": ({ mode }) => set({ mode }),
  "mix-part": ({ part }) => set({ part: Number(part) }),
  "mix-cup": ({ ml }) => set({ total: Number(ml) }),
  "mix-scale": ({ scale }) => set({ scale: scale === "yes" }),
  "mix-dial": ({ by }) => dial(Number(by)),
  "mix-hardener": ({ by }) => dialHardener(5 * Number(by)),
  "mix-disc": ({ by }) => turn("disc", 10 * by, 30, 300),
  "mix-area": ({ by }) => (mix.sizing ? resize(Number(by)) : turn("area", by, 0, 400)),
  "mix-coats": ({ by }) => turn("coats", 1 * by, 1, 9),
  "mix-lands": ({ by }) => turn("lands", 5 * by, 10, 100),
  "mix-loss": ({ by }) => turn("loss", 5 * by, 0, 50),
  "mix-spray": ({ by }) => turn("sprayMin", 1 * by, 1, 60),
  "mix-limit": ({ by }) => turn("limit", 10 * by, 0, 900),
  "mix-size": ({ name }) => (mix.sizing ? set({ sizing: name }) : turn("area", sizes()[name], 0, 400)),
  "mix-sizing": () => set({ sizing: mix.sizing ? "" : Object.keys(SIZES)[0] }),
  "mix-none": () => set({ area: 0 }),
  "mix-panel": ({ panel }) =>
    set({ panels: mix.panels.includes(panel) ? mix.panels.filter((on) => on !== panel) : [...mix.panels, panel] }),
  "mix-take": () => set({ mode: "total", total: clamp(Math.ceil(work.needMl(product(), mix) / 10) * 10, 10, 20_000) }),
};

export function paint(now, zone) {
  const products = queries.docs("product").filter((one) => one.away_at === null && one.doc.ratio);
  paintPicker(products);
  show("mix-rest", products.length > 0);
  say("mix-empty", products.length ? "" : t("Nothing with a mixing ratio is on the shelf."));
  if (!products.length) return;
  const doc = product();
  say("mix-typical", doc.typical ? t("Typical, check your sheet") : "");
  paintAsked(doc);
  const { is: amounts, why } = work.tried(() =>
    isPutty(doc) ? work.puttyAmounts(mix.g, shareOf(doc)) : work.amountsOf(doc, mix),
  );
  say("mix-why", why ?? "");
  paintParts(doc, amounts);
  paintPot(doc, now, zone);
  paintNeed(doc, amounts, now);
  say("mix-voc", amounts ? work.vocWords(doc, amounts, mix.limit) : "");
  say("mix-limit", mix.limit ? t("limit {limit} g/l", { limit: mix.limit }) : t("no limit set"));
  show("mix-voc-box", Boolean(doc.vocs_g_l));
  say("mix-caution", caution(doc));
}

function paintPicker(products) {
  const wanted = products.map((one) => [one.on, one.doc.name]);
  const options = [...picker.options].map((option) => [option.value, option.textContent]);
  if (JSON.stringify(wanted) !== JSON.stringify(options))
    picker.replaceChildren(...wanted.map(([on, name]) => new Option(name, on)));
  if (!wanted.some(([on]) => on === mix.on))
    set({ on: wanted.find(([on]) => views.view(on).doc.cls === "surfacer")?.[0] || wanted[0]?.[0] || "" });
  picker.value = mix.on;
}

/** What is asked: how much, of what, in which cup. */
function paintAsked(doc) {
  const putty = isPutty(doc);
  const names = work.partNames(doc);
  row(
    "mix-variants",
    (doc.variants ?? []).map(({ id, name }) => [name, { do: "mix-variant", variant: id }, "", id === variant(doc)]),
  );
  row(
    "mix-modes",
    putty || doc.in_can
      ? []
      : [
          [t("This much ready to spray"), { do: "mix-mode", mode: "total" }, "", mix.mode === "total"],
          [t("I have this much of one part"), { do: "mix-mode", mode: "part" }, "", mix.mode === "part"],
        ],
  );
  row(
    "mix-which",
    putty || mix.mode === "total"
      ? []
      : names.map((name, part) => [name, { do: "mix-part", part }, "", part === mix.part]),
  );
  row(
    "mix-cups",
    putty || mix.mode === "part" || doc.ratio.by === "weight"
      ? []
      : CUPS_ML.map((ml) => [units.volume(ml), { do: "mix-cup", ml }, "", ml === mix.total]),
  );
  row(
    "mix-scales",
    doc.densities_g_l && doc.ratio.by === "volume"
      ? [
          [t("By marks [[on the cup]]"), { do: "mix-scale", scale: "no" }, "", !mix.scale],
          [t("On a scale [[weighed]]"), { do: "mix-scale", scale: "yes" }, "", mix.scale],
        ]
      : [],
  );
  say(
    "mix-asks",
    doc.in_can
      ? t("How much is in the can")
      : putty
        ? t("How much putty")
        : mix.mode === "part"
          ? work.asksOf(doc, mix.part)
          : t("How much ready to spray"),
  );
  const much = putty ? mix.g : mix.mode === "part" ? mix.have : mix.total;
  say("mix-total", putty || doc.ratio.by === "weight" ? units.weight(much) : units.volume(much));
  show("mix-hardener-box", putty);
  say("mix-hardener", `${decimal(String(shareOf(doc) / 10))} %`);
  say("mix-hardener-warning", putty ? hardenerWarning(shareOf(doc), ...(doc.hardener_span_pm ?? SPAN_PM)) : "");
  show("mix-ribbon-box", Boolean(doc.ribbon));
  say("mix-disc", `${mix.disc} mm`);
  say("mix-ribbon", work.ribbonWords(doc, mix.disc));
}

function paintParts(doc, amounts) {
  const names = isPutty(doc) ? [t("Putty"), t("Hardener")] : work.partNames(doc);
  const onScale = mix.scale && Boolean(doc.densities_g_l);
  paintList(
    document.getElementById("mix-parts"),
    "part-row",
    amounts ? work.partRows(doc, names, amounts, onScale) : [],
  );
  say(
    "mix-drift",
    amounts ? (isPutty(doc) ? work.clockWords(doc, shareOf(doc), variant(doc)) : work.driftWords(doc, amounts)) : "",
  );
  const cup = {
    kind: "cup_mixed",
    productOn: mix.on,
    variant: variant(doc),
    by: doc.ratio.by,
    amounts,
    names,
    panels: mix.panels.filter((on) => views.view(on).name),
  };
  setVals(document.getElementById("mix-start"), cup);
  show("mix-start", Boolean(amounts));
  say("mix-start", doc.in_can ? t("Pierced: start its pot life") : t("Mixed: start this cup"));
}

/** How long a cup mixed now lasts: the closing side, the hotter reading. */
function paintPot(doc, now, zone) {
  const ends = work.potEnds(doc, now, views.trace());
  say(
    "mix-pot",
    ends === null
      ? ""
      : t("Mixed now, the cup lasts until {time} ({span} at {temp})", {
          time: shuts(ends, now, zone),
          span: span(ends - now),
          temp: units.degrees(temperature()),
        }),
  );
}

function paintNeed(doc, amounts, now) {
  const known = doc.ratio.by === "volume" && filmOf(doc) !== null;
  show("mix-area-box", known);
  row(
    "mix-panels",
    queries.inWork().map((on) => [views.view(on).name, { do: "mix-panel", panel: on }, "", mix.panels.includes(on)]),
  );
  if (!known) return;
  const { sizing } = mix;
  const parts = Object.entries(sizes()).map(([name, area]) => [
    `${sizing ? "" : "+ "}${t(name)} ${units.area(area / 10)}`,
    { do: "mix-size", name },
    "",
    sizing === name,
  ]);
  row("mix-sizes", [
    ...parts,
    ...(sizing ? [] : [[t("From nothing [[add up the area anew]]"), { do: "mix-none" }]]),
    [sizing ? t("Sizes are right") : t("Change the sizes"), { do: "mix-sizing" }],
  ]);
  say("mix-area", units.area((sizing ? sizes()[sizing] : mix.area) / 10));
  say("mix-coats", tn("{n} coat", "{n} coats", mix.coats));
  say("mix-lands", t("{lands} % lands [[of the paint, on the panel]]", { lands: mix.lands }));
  say("mix-loss", t("{loss} % stays [[of the paint, in cup and hose]]", { loss: mix.loss }));
  say("mix-spray", t("{minutes} min a coat", { minutes: mix.sprayMin }));
  say("mix-need", mix.area ? work.needWords(doc, mix) : t("Add the parts that are to be coated, or turn the dial."));
  show("mix-take", mix.area > 0 && !work.tried(() => work.needMl(doc, mix)).why);
  const total = amounts ? amounts.reduce((sum, ml) => sum + ml, 0) : mix.total;
  say("mix-howmany", work.cupsWords(doc, total, mix.coats, mix.sprayMin, now, views.trace()));
}

/** A row of buttons, made again only when it changes, so that a finger never loses its button. */
function row(id, wanted) {
  const text = JSON.stringify(wanted);
  if (boxes.get(id) === text) return;
  boxes.set(id, text);
  buttons(id, wanted);
}
