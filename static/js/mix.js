// The mix: parts of a cup and its marks, hardener of a putty, how much for an area.  Loaded when its screen is opened.
import { lastRead, ASSUMED_DC } from "./core/air.js";
import { readyToSprayMl, thinnedVsPct } from "./core/cover.js";
import { closesAt, closing } from "./core/cure.js";
import { hardenerWarning, marks, percentHardenerG, ratioDriftPm, split } from "./core/mixing.js";
import { clamp } from "./core/units.js";
import { degrees, shuts, span } from "./core/words.js";
import { CAUTIONS, buttons, cautionOf } from "./dialogs.js";
import { paintList, say, show } from "./paint.js";
import * as shop from "./shop.js";

// Rough areas of one side, square metres in tenths: common practice, no source.
const SIZES = { Door: 12, Fender: 8, Hood: 16, Tailgate: 12, "Bumper cover": 10, Roof: 20, "Quarter panel": 12 };
// Volume solids of the paint in percent, dry film a coat in um: typical, common practice, no source.
const TYPICAL = { epoxy: [50, 30], etch: [20, 10], surfacer: [50, 50], sealer: [40, 30], base: [20, 10], waterbase: [20, 10], clear: [45, 28], sprayputty: [65, 100] };
const LANDS_PCT = 60; // HVLP guns 50 to 65 %, state pollution-prevention guides
const LOSS_PCT = 10; // cup, strainer, hose: common practice, no source
const LEAST_PM = 10;
const MOST_PM = 30; // hardener of a polyester putty: 1 to 3 % by weight, common practice
const mix = { on: "", ml: 600, g: 250, hardenerPm: 20, area: 10, coats: 2 };
const picker = document.getElementById("mix-product");

export const deeds = {
  "mix-product": () => take(picker.value),
  "mix-dial": ({ by }) => (isPutty() ? turn("g", 10 * by, 10, 5000) : turn("ml", 50 * by, 50, 20_000)),
  "mix-hardener": ({ by }) => turn("hardenerPm", 5 * by, 5, 60),
  "mix-area": ({ by }) => turn("area", 2 * by, 2, 400),
  "mix-coats": ({ by }) => turn("coats", 1 * by, 1, 9),
  "mix-size": ({ area }) => turn("area", area - mix.area, 2, 400),
  "mix-take": () => turn("ml", Math.ceil(needMl() / 10) * 10 - mix.ml, 10, 20_000),
};

export function paintMix(now, zone) {
  const products = shop.docs("product").filter((one) => one.away_at === null && one.doc.ratio);
  paintPicker(products);
  if (!products.length) return say("mix-asks", "Nothing with a mixing ratio is on the shelf.");
  const { doc } = shop.view(mix.on);
  say("mix-typical", doc.typical ? "Typical, check your sheet" : "");
  say("mix-asks", isPutty() ? "How much putty" : "How much ready to spray");
  say("mix-total", isPutty() ? `${mix.g} g` : `${mix.ml} ${unitOf(doc.ratio)}`);
  show("mix-hardener-box", isPutty());
  show("mix-area-box", doc.cls in TYPICAL && doc.ratio.by === "volume");
  if (isPutty()) paintPutty();
  else paintParts(doc);
  paintPot(doc, now, zone);
  paintArea(doc);
  say("mix-caution", CAUTIONS[cautionOf(doc.cls)] || "");
}

function paintPicker(products) {
  const wanted = products.map((one) => [one.on, one.doc.name]);
  const shown = [...picker.options].map((option) => [option.value, option.textContent]);
  if (JSON.stringify(wanted) !== JSON.stringify(shown)) picker.replaceChildren(...wanted.map(([on, name]) => new Option(name, on)));
  if (!wanted.some(([on]) => on === mix.on)) mix.on = wanted.find(([on]) => shop.view(on).doc.cls === "surfacer")?.[0] || wanted[0]?.[0] || "";
  picker.value = mix.on;
}

function paintPutty() {
  const hardener = percentHardenerG(mix.g, mix.hardenerPm);
  say("mix-hardener", `${mix.hardenerPm / 10} %`);
  say("mix-hardener-warning", hardenerWarning(mix.hardenerPm, LEAST_PM, MOST_PM));
  const grams = (g) => `${Math.round(g * 10) / 10} g`;
  paintList(document.getElementById("mix-parts"), "part-row", [
    { key: "0", what: "Putty", amount: grams(mix.g), to: `scale at ${grams(mix.g)}` },
    { key: "1", what: "Hardener", amount: grams(hardener), to: `scale at ${grams(mix.g + hardener)}` },
  ]);
  say("mix-drift", "");
}

function paintParts({ ratio, cls }) {
  const unit = unitOf(ratio);
  const amounts = split(mix.ml, ratio.parts);
  const upTo = marks(amounts);
  const names = ratio.parts.length > 2 ? ["Paint", "Hardener", "Reducer", "Fourth part"] : ["Paint", ["base", "waterbase"].includes(cls) ? "Reducer" : "Hardener"];
  paintList(document.getElementById("mix-parts"), "part-row", amounts.map((ml, at) => ({ key: String(at), what: names[at] || `Part ${at + 1}`, amount: `${ml} ${unit}`, to: unit === "g" ? `scale at ${upTo[at]} g` : `fill to ${upTo[at]}` })));
  const drift = Math.max(...ratioDriftPm(amounts, ratio.parts).map(Math.abs));
  say("mix-drift", `${ratio.parts.join(" : ")} by ${ratio.by}. ${drift ? `Rounding moves the ratio by ${drift / 10} %.` : "Exact as poured."}`);
}

/** How long a cup mixed now lasts: the closing side, the hotter reading. */
function paintPot(doc, now, zone) {
  if (!doc.gates.pot) return say("mix-pot", "");
  const ends = closesAt(closing(doc, "pot"), now, shop.trace());
  return say("mix-pot", `Mixed now, the cup lasts until ${shuts(ends, now, zone)} (${span(ends - now)} at ${degrees(temperature())})`);
}

function paintArea({ cls }) {
  buttons("mix-sizes", Object.entries(SIZES).map(([name, area]) => [`${name} ${area / 10} m²`, { do: "mix-size", area }, "", area === mix.area]));
  say("mix-area", `${mix.area / 10} m²`);
  say("mix-coats", mix.coats === 1 ? "1 coat" : `${mix.coats} coats`);
  if (!(cls in TYPICAL)) return;
  const [solids, film] = TYPICAL[cls];
  say("mix-need", `About ${needMl()} ml ready to spray: ${solids} % solids, ${film} µm dry a coat, ${LANDS_PCT} % lands, ${LOSS_PCT} % stays behind.`);
}

function needMl() {
  const { doc } = shop.view(mix.on);
  const [solids, film] = TYPICAL[doc.cls];
  const [paint, ...others] = doc.ratio.parts;
  const thinner = (others.at(-1) / paint) * 100;
  return readyToSprayMl(mix.area / 10, mix.coats, film, thinnedVsPct(solids, doc.ratio.parts.length > 2 ? thinner : 0), LANDS_PCT, LOSS_PCT);
}

const unitOf = ({ by }) => (by === "weight" ? "g" : "ml");

const isPutty = () => shop.view(mix.on).doc?.cls === "putty";

const temperature = () => lastRead(shop.airState(), Infinity)?.[1] ?? ASSUMED_DC;

const take = (on) => (mix.on = on);

const turn = (key, by, least, most) => (mix[key] = clamp(mix[key] + Number(by), least, most));
