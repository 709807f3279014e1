// What is being mixed on this phone, kept over a reload: the product, how much of it, the area, the sizes of parts.
import { lastRead, ASSUMED_DC } from "../core/clock/air.js";
import { later } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import { LANDS_PCT, LOSS_PCT } from "../core/bench/coating.js";
import { asMixed, byHardener, fit, hardenerPm, laidSheet } from "../core/fold/shelf.js";
import { readonly } from "../data/readonly.js";
import * as views from "../data/views.js";
import * as units from "../ui/units.js";

// Rough areas of one side, square metres in tenths: common practice, no source; a phone keeps its own.
export const SIZES = {
  [later("Door")]: 12,
  [later("Fender")]: 8,
  [later("Hood")]: 16,
  [later("Tailgate")]: 12,
  [later("Bumper cover")]: 10,
  [later("Roof")]: 20,
  [later("Quarter panel")]: 12,
};
const USUAL_PM = 20; // where a sheet has no ratio by weight: common practice, no source
const KEPT = "mix"; // what is being mixed outlives a reload
const BLANK = {
  on: "",
  variant: null,
  mode: "total",
  total: 600,
  have: 300,
  part: 0,
  g: 250,
  dialledPm: null, // hardener of a putty, where another share was dialled than its variant is mixed with
  area: 0,
  coats: 2,
  lands: LANDS_PCT,
  loss: LOSS_PCT,
  sprayMin: 5,
  disc: 100,
  limit: 0,
  scale: false,
  panels: [],
  sizes: {},
  sizing: "",
};
const stored = { ...BLANK, ...JSON.parse(localStorage.getItem(KEPT) ?? "{}") };
export const mix = readonly(stored);
/** The product with the times and the ratio of its variant. */
export function product() {
  const { doc } = views.view(mix.on);
  const chosen = variant(doc);
  return { ...asMixed(doc, chosen), gates: laidSheet(doc, chosen).gates };
}

export const variant = (doc) =>
  doc.variants?.some((one) => one.id === mix.variant) ? mix.variant : fit(doc, temperature())[0].id;

/** Sizes of common parts as this phone has them. */
export const sizes = () => ({ ...SIZES, ...mix.sizes });

export const resize = (by) => set({ sizes: { ...mix.sizes, [mix.sizing]: clamp(sizes()[mix.sizing] + by, 1, 99) } });

export const isPutty = ({ cls }) => cls === "putty";

export const temperature = () => lastRead(views.airState(), Infinity)?.[1] ?? ASSUMED_DC;

export const take = (on) => set({ on, variant: null, part: 0, dialledPm: null });

/** How much hardener goes into the putty: as dialled, else as its variant is mixed. */
export const shareOf = (doc) => mix.dialledPm ?? hardenerPm(doc) ?? USUAL_PM;

/** Another share of hardener, and with it the variant that it is of: its clock goes along. */
export function dialHardener(by) {
  const { doc } = views.view(mix.on);
  const share = clamp(shareOf(product()) + by, 5, 60);
  set({ dialledPm: share, variant: byHardener(doc, share) || mix.variant });
}

export function dial(by) {
  const doc = product();
  if (isPutty(doc)) return turn("g", Math.round(units.weightStep(10)) * by, 5, 5000);
  const step = doc.ratio.by === "weight" ? units.weightStep(30) : units.volumeStep(mix.mode === "part" ? 10 : 50);
  return turn(mix.mode === "part" ? "have" : "total", Math.round(step) * by, 10, 20_000);
}

export const turn = (key, by, least, most) => set({ [key]: clamp(mix[key] + Number(by), least, most) });

export function set(change) {
  Object.assign(stored, change);
  localStorage.setItem(KEPT, JSON.stringify(mix));
}
