// Figures as the shop reads them, in its own units; kept they are in tenths of a degree C, ml, g and um whatever is
// shown.
import { dcToF, fToDc, flOzToMl, gToOz, milToUm, mlToFlOz, ozToG, umToMil } from "../core/base/measures.js";
import { decimal } from "../core/base/translate.js";
import * as words from "../core/base/words.js";
import * as queries from "../data/queries.js";

export const degrees = (dc) => words.degrees(dc, queries.units().temp);

/** One step of a temperature dial: a degree of the shop's own scale, landing on whole ones. */
export function stepped(dc, by) {
  if (queries.units().temp === "c") return Math.round(dc / 10 + by) * 10;
  return fToDc(Math.round(dcToF(dc)) + by);
}

export const volume = (ml) => (queries.units().volume === "ml" ? `${plain(ml)} ml` : `${plain(mlToFlOz(ml), 2)} fl oz`);
export const weight = (g) => (queries.units().weight === "g" ? `${plain(g)} g` : `${plain(gToOz(g), 3)} oz`);
export const film = (um) => (queries.units().film === "um" ? `${plain(um)} µm` : `${plain(umToMil(um), 2)} mil`);
export const area = (m2) => `${plain(m2)} m²`;

/** What a gun's pressure is read in here. */
export const pressureUnit = () => (queries.units().volume === "floz" ? "psi" : "bar");

/** What one step of a volume or weight dial is, in ml or g. */
export const volumeStep = (ml) => (queries.units().volume === "ml" ? ml : flOzToMl(ml / 30));
export const weightStep = (g) => (queries.units().weight === "g" ? g : ozToG(g / 30));
export const typedFilm = (value) => (queries.units().film === "um" ? value : milToUm(value));

const plain = (value, places = 1) => decimal(String(Math.round(value * 10 ** places) / 10 ** places));

/** A clock time as `clock` says it, with its seconds. */
export const seconds = (atMs, nowMs, zone) =>
  words.clock(atMs, nowMs, zone).replace(/\d+:\d\d/, `$&:${String(Math.floor(atMs / 1000) % 60).padStart(2, "0")}`);
