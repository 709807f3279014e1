// A demo floor in one tap, gone in one tap: invented panels at four steps, as taps like any other.
import { record } from "../ui/record.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { current, fold } from "../core/fold/panel.js";
import { stepsFor } from "../core/fold/route.js";
import { laidSheet, offers } from "../core/fold/shelf.js";
import { later, t } from "../core/base/translate.js";
import { DEMO } from "./floor.js";

const MINUTE_MS = 60_000;
const WARM_DC = 200;
// Name, job, what it came to, and how many minutes ago that was laid: none is still to be laid.
const PANELS = [
  [later("Left front door"), later("grey hatchback"), "putty", 9],
  [later("Right fender"), later("grey hatchback"), "putty", 31],
  [later("Tailgate"), later("white van"), "surfacer", 35],
  [later("Hood"), later("white van"), "surfacer", null],
];

export const actions = {
  "demo-begin": async () => {
    const born = PANELS.flatMap((one) => panelAt(...one));
    if (!born.length)
      throw new Error(t("The routes or the products of the demo are put away on this phone. Nothing was saved."));
    await record(...born);
  },
  "demo-end": async () => {
    const shown = queries.onFloor().filter((on) => views.view(on).job.startsWith(DEMO));
    await record(...shown.map(acts.putAway));
  },
};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

/** All taps of one panel, up to the step at which a film of a class is laid; nothing where no route or product fits. */
function panelAt(name, job, cls, minutesAgo) {
  const route = queries
    .docs("route")
    .filter((one) => one.away_at === null && stepsFor(one.doc, {}).some((step) => step.cls === cls))
    .sort((one, two) => (one.doc.rank ?? 0) - (two.doc.rank ?? 0))[0];
  const offer = offered(cls);
  if (!route || !offer) return [];
  const { doc } = route;
  const on = acts.thingId("panel");
  const begun = minutesAgo ?? 5;
  const taps = [
    tapped(on, "panel_added", begun + 60, {
      name: t(name),
      job: `${DEMO} ${t(job)}`,
      route: doc.name,
      steps: stepsFor(doc, {}),
    }),
  ];
  const next = () => current(fold(taps));
  while (next().cls !== cls) taps.push(tapped(on, "step_done", begun + 50 - taps.length, { step: next().id }));
  if (minutesAgo !== null) taps.push(laid(on, next(), offer, minutesAgo));
  return taps;
}

function laid(on, step, { product, sheet }, minutesAgo) {
  const id = acts.freshId();
  return tapped(
    on,
    "film_laid",
    minutesAgo,
    { film: id, step: step.id, area: "", coat: step.laid + 1, product, sheet },
    id,
  );
}

function offered(cls) {
  const shelf = queries
    .docs("product")
    .filter((one) => one.away_at === null)
    .map((one) => ({ ...one.doc, id: one.on }));
  const [first] = offers(shelf, cls, "", WARM_DC);
  const doc = first && views.view(first.product).doc;
  return doc?.cls === cls ? { product: doc.id, sheet: laidSheet(doc, first.variant, 1) } : null;
}

function tapped(on, kind, minutesAgo, fields, id = acts.freshId()) {
  return acts.born(on, kind, { ...fields, at: Math.floor(clock.now() - minutesAgo * MINUTE_MS) }, id);
}
