// The shelf: each product with what its sheet says at the temperature of the shop.
import { ALWAYS_SANDED } from "../core/clock/clock_step.js";
import { opening, closing, waitMs, TooCold } from "../core/clock/cure.js";
import { lastRead, ASSUMED_DC } from "../core/clock/air.js";
import { CLASSES } from "../core/acts/schema.js";
import { decimal, later, t } from "../core/base/translate.js";
import { span } from "../core/base/words.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { CLASS_WORDS, buttons } from "../ui/dialogs.js";
import { degrees } from "../ui/units.js";
import { paint, paintList, show } from "../ui/dom.js";
import { GATE_WORDS } from "./panel.js";

const list = (id) => document.getElementById(id);
const SHUT_WORDS = { recoat_by: later("recoat until {wait}"), pot: later("cup lasts {wait}") };
export function paintShelf(now) {
  const read = lastRead(views.airState(), now);
  const temp = read ? read[1] : ASSUMED_DC;
  const rows = queries.docs("product").map((one) => productRow(one, temp));
  paintList(
    list("products"),
    "product-row",
    rows.filter((row) => !row.away),
    paintProduct,
  );
  paintList(
    list("products-away"),
    "product-row",
    rows.filter((row) => row.away),
    paintProduct,
  );
  show("products-away-empty", !rows.some((row) => row.away));
  if (!list("shelf-classes").childElementCount)
    buttons(
      "shelf-classes",
      CLASSES.map((cls) => [t(CLASS_WORDS[cls]), { do: "sheet-new", cls }]),
    );
}

function productRow({ on, doc, rivals, away_at: away }, temp) {
  return {
    key: on,
    vals: { on, kind: away === null ? "sheet_put_away" : "sheet_brought_back" },
    name: doc.name,
    about: [
      [limitWords(doc), doc.ratio && ratioWords(doc.ratio)].filter(Boolean).join(", "),
      doc.typical && t("Typical, check your sheet"),
    ]
      .filter(Boolean)
      .join(". "),
    times: t("At {temp}: {waits}", {
      temp: degrees(temp),
      waits: Object.keys(doc.gates)
        .filter((gate) => gate !== "recoat_by" || !ALWAYS_SANDED.includes(doc.cls))
        .map((gate) => waitWords(doc, gate, temp))
        .join(", "),
    }),
    away: away !== null,
    rival: rivals.length ? t("Two phones changed this sheet at once. Open it and keep one.") : "",
    deed: away === null ? t("Put away [[do it, with a product]]") : t("Bring back [[do it, with a product]]"),
  };
}

function limitWords({ lowest_dc: lowest, highest_dc: highest }) {
  const [low, high] = [lowest, highest].map((dc) => (dc == null ? "" : degrees(dc)));
  if (low && high) return t("from {low} to {high}", { low, high });
  return low ? t("from {low} [[no warmest]]", { low }) : high && t("to {high} [[no coldest]]", { high });
}

function ratioWords({ parts, by }) {
  const ratio = parts.map((part) => decimal(String(part))).join(":");
  return by === "weight" ? t("{ratio} by weight", { ratio }) : t("{ratio} by volume", { ratio });
}

function paintProduct(row, value) {
  paint(row, value);
  for (const link of row.querySelectorAll("[data-sheet]")) link.hash = `#sheet=${link.dataset.sheet}${value.key}`;
}

function waitWords(doc, gate, temp) {
  const shut = gate in SHUT_WORDS;
  try {
    const wait = span(waitMs((shut ? closing : opening)(doc, gate), temp));
    return shut ? t(SHUT_WORDS[gate], { wait }) : t("{gate} after {wait}", { gate: t(GATE_WORDS[gate]), wait });
  } catch (why) {
    if (why instanceof TooCold) return t("{gate}: too cold", { gate: t(GATE_WORDS[gate]) });
    throw why;
  }
}
