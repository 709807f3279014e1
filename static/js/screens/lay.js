// Laying a film: what is offered, and what speaks against it now.  Loaded when first asked for.
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { warnings } from "../core/clock/forecast.js";
import { coatWarnings } from "../core/clock/damp.js";
import { caution } from "../core/bench/cautions.js";
import { stepWords } from "../core/card/panel_card.js";
import { asMixed, laidSheet, lastLaid, offers } from "../core/fold/shelf.js";
import { decimal, t } from "../core/base/translate.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import { buttons, open } from "../ui/dialogs.js";
import { faceOf } from "./floor.js";
import { say } from "../ui/dom.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { degrees } from "../ui/units.js";

export const actions = { lay: (data, { on, zone }) => openLay(on, zone, data.lane) };

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

function openLay(on, zone, lane) {
  const { state } = views.laneOf(on, lane.lane);
  const step = acts.stepAt(on, { lane: lane.lane, step: lane.lane_step });
  const face = faceOfLane(faceOf(on, clock.now(), zone), lane);
  const products = queries
    .docs("product")
    .filter((one) => one.away_at === null)
    .map((one) => ({ ...one.doc, id: one.on }));
  const last = lastLaid(views.view(on).films, products, step.cls, step.use);
  const offered = offers(products, step.cls, last, temperature(on), step.use);
  say("lay-title", stepWords(step));
  const early = ["wait", "still", "asked", "shut"].includes(face.state) ? [`${face.word}. ${face.say}.`] : [];
  say("lay-warning", [...early, ...against(on, offered[0], step, zone, state)].join(" "));
  buttons(
    "lay-offers",
    offered.map((offer, nth) => [
      offerWords(offer, temperature(on)),
      { do: "lay-film", act: { kind: "film_laid", product: offer.product, variant: offer.variant, ...lane } },
      nth ? "" : "deed",
    ]),
  );
  say("lay-setup", offered.length ? setUp(views.view(offered[0].product)) : "");
  const [first] = offered;
  say("lay-caution", caution(first ? asMixed(views.view(first.product).doc, first.variant) : step));
  open("dialog-lay", on);
  say(
    "lay-error",
    offered.length ? "" : t("Nothing of this class is on the shelf. Bring a product back on the Shelf."),
  );
}

/** The part of a card that the button stands on. */
const faceOfLane = (face, { lane }) => [face, ...(face.lanes ?? [])].find((one) => one.lane === lane) ?? face;

/** What speaks against laying the first choice now: the air, the panel, and what is known of the night. */
function against(on, offer, step, zone, state) {
  if (!offer) return [];
  const doc = asMixed(views.view(offer.product).doc, offer.variant);
  const { temp: unit } = queries.units();
  const read = lastRead(views.airState(), clock.now());
  const now = read ? coatWarnings(doc, read[1], read[2], surface(on), unit) : [];
  const dead = acts.onlyDeadCups(offer.product)
    ? [
        t(
          "The cup of {name} on the floor is over its pot life: do not use it. This coat is not taken to come from it.",
          { name: doc.name },
        ),
      ]
    : [];
  return [
    ...dead,
    ...now,
    ...paper(state, doc),
    ...warnings(laidSheet(doc, offer.variant, step.laid + 1), Math.floor(clock.now()), views.felt(on), zone, unit),
  ];
}

/** What the sheet says of the paper under it, where the panel was last sanded with a coarser one. */
function paper({ steps }, { before_p: wanted }) {
  const last = steps.filter((step) => step.grit && step.done_at !== null).at(-1);
  return wanted && last && last.grit < wanted
    ? [t("Last sanded with P{grit}: the sheet asks for P{wanted} before it.", { grit: last.grit, wanted })]
    : [];
}

/** The panel's own temperature where one was read and rules, else null. */
function surface(on) {
  const now = clock.now();
  const last = views.view(on).surfaces?.findLast(([from, until]) => from <= now && (until === null || until > now));
  return last ? last[2] : null;
}

const temperature = (on) => surface(on) ?? lastRead(views.airState(), clock.now())?.[1] ?? ASSUMED_DC;

function offerWords({ product, variant, name, with: made }, temp) {
  const band = views.view(product).doc.variants?.find((one) => one.id === variant)?.band_dc;
  const meant = band && t("for {low} to {high}", { low: degrees(band[0]), high: degrees(band[1]) });
  const suits = band && band[0] <= temp && temp <= band[1] && t("suits now");
  return [name, made, meant, suits].filter(Boolean).join(", ");
}

/** The gun set-ups that worked here, and the paper before and after. */
function setUp({ doc, guns = {} }) {
  const settings = Object.entries(guns).map(
    ([gun, { pressure_kpa: kpa, tip_um: tip, turns_tenths: turns, distance_mm: distance, fan }]) => {
      const [bar, mm, often, cm] = [kpa / 100, tip / 1000, turns / 10, distance / 10].map((one) =>
        decimal(String(one)),
      );
      const tipped = [kpa && t("{bar} bar at the gun", { bar }), tip && t("{mm} mm tip [[of a spray gun]]", { mm })];
      const parts = [
        ...tipped,
        turns && t("{turns} turns [[of the fluid knob]]", { turns: often }),
        fan && t("fan {fan} [[of a spray gun: how wide]]", { fan }),
        distance && t("{cm} cm away [[from the panel]]", { cm }),
      ];
      return `${gun}: ${parts.filter(Boolean).join(", ")}.`;
    },
  );
  const papers = [
    doc.before_p && t("P{grit} before it", { grit: doc.before_p }),
    doc.after_p && t("P{grit} after it", { grit: doc.after_p }),
  ]
    .filter(Boolean)
    .join(", ");
  return [...settings, papers && `${papers}.`].filter(Boolean).join(" ");
}
