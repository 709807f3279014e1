// Panels that only cure: a quiet list below the cards, those that are due first; a tap opens the panel.
import { ASKED, STILL, WAITS } from "../core/card/panel_card.js";
import { floorOrder } from "../core/card/floor_order.js";
import { t, tn } from "../core/base/translate.js";
import { paint as paintRow, paintList, say, set, show } from "./dom.js";

const FEW = 4; // rows shown while nothing is due and nobody asks for all
let isWhole = false;

export const showAll = () => (isWhole = true);

/** The list, of rows as the order of the floor wants them, and the job of each by its id. */
export function paint(rows, jobs) {
  show("curing", rows.length > 0);
  if (!rows.length) return;
  const ordered = floorOrder(rows);
  const due = ordered.filter((row) => !isWaiting(row)).length;
  const shown = isWhole ? ordered : ordered.slice(0, Math.max(FEW, due));
  say("curing-title", tn("Curing: {n} panel", "Curing: {n} panels", rows.length));
  paintList(
    document.getElementById("curing-list"),
    "curing-row",
    shown.map((row) => ({ key: row.id, name: row.name, job: jobs.get(row.id), words: wordsOf(row), mode: row.mode })),
    paintOne,
  );
  show("curing-all", shown.length < rows.length);
  say("curing-all", t("Show all {n}", { n: rows.length }));
}

const isWaiting = ({ mode }) => [WAITS, ASKED, STILL].includes(mode);

/** What it waits for and until when; of one that is due the step first. */
const wordsOf = (row) => (row.mode === WAITS ? row.say : `${row.step}. ${row.say}`);

function paintOne(line, value) {
  paintRow(line, value);
  set(line, "on", value.key);
  set(line, "state", value.mode);
}
