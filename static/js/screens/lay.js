// Laying a film: what is offered, and what speaks against it now.  Loaded when first asked for.
import { lastRead } from "../core/clock/air.js";
import { warnings } from "../core/clock/forecast.js";
import { coatWarnings } from "../core/clock/damp.js";
import { caution } from "../core/bench/cautions.js";
import { gunCaution, gunWords } from "../core/bench/gun.js";
import * as practice from "../core/bench/practice.js";
import { stepWords } from "../core/card/panel_card.js";
import { asMixed, laidSheet } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import { shuts } from "../core/base/words.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import * as shop from "../data/state.js";
import { firstSprayed, lastGun, offered, surface, temperature } from "../cards/offered.js";
import { buttons, open } from "../ui/dialogs.js";
import { faceOf } from "./floor.js";
import { say, show } from "../ui/dom.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { degrees, pressureUnit } from "../ui/units.js";

export const actions = { lay: (data, { on, zone }) => openLay(on, zone, data.lane) };

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

function openLay(on, zone, lane) {
  const { state } = views.laneOf(on, lane.lane);
  const step = acts.stepAt(on, { lane: lane.lane, step: lane.lane_step });
  const face = faceOfLane(faceOf(on, clock.now(), zone), lane);
  const offers = offered(on, step);
  const [first] = offers;
  say("lay-title", stepWords(step));
  const early = ["wait", "still", "asked", "shut"].includes(face.state) ? [`${face.word}. ${face.say}.`] : [];
  say("lay-warning", [...early, ...against(on, first, step, zone, state)].join(" "));
  buttons(
    "lay-offers",
    offers.map((offer, nth) => [
      offerWords(offer, temperature(on), zone),
      { do: "lay-film", act: { kind: "film_laid", product: offer.product, variant: offer.variant, ...lane } },
      nth ? "" : "deed",
    ]),
  );
  say("lay-setup", first ? setUp(first.product) : "");
  sayGun(firstSprayed(on, step));
  document.getElementById("lay-how").dataset.key = step.id;
  say("lay-caution", caution(first ? asMixed(views.view(first.product).doc, first.variant) : step));
  open("dialog-lay", on);
  say("lay-error", first ? "" : t("Nothing of this class is on the shelf. Bring a product back on the Shelf."));
}

/** The way to the guns of what is sprayed first, and the caution where the last one's pressure is high. */
function sayGun(offer) {
  const last = offer && lastGun(offer.product);
  show("lay-gun", Boolean(offer));
  document.getElementById("lay-gun").dataset.about = offer?.product ?? "";
  say("lay-pressure", last ? gunCaution(last.set, pressureUnit()) : "");
}

/** The cup that a coat would come from, and whose it is. */
function cupWords(cup, zone) {
  if (!cup) return "";
  const { mixed_at: mixed, who } = views.view(cup);
  const time = shuts(mixed, Math.floor(clock.now()), zone);
  return who && who !== shop.meta.phone
    ? t("from the cup that {who} mixed at {time}", { who: queries.called(who), time })
    : t("from the cup mixed at {time}", { time });
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
    ...practice.against(state, step, doc),
    ...warnings(laidSheet(doc, offer.variant, step.laid + 1), Math.floor(clock.now()), views.felt(on), zone, unit),
  ];
}

function offerWords({ product, variant, name, with: made, cup }, temp, zone) {
  const band = views.view(product).doc.variants?.find((one) => one.id === variant)?.band_dc;
  const meant = band && t("for {low} to {high}", { low: degrees(band[0]), high: degrees(band[1]) });
  const suits = band && band[0] <= temp && temp <= band[1] && t("suits now");
  return [name, made, cupWords(cup, zone), meant, suits].filter(Boolean).join(", ");
}

/** The gun set-up that worked last, and the paper before and after. */
function setUp(productOn) {
  const { doc } = views.view(productOn);
  const last = lastGun(productOn);
  const papers = [
    doc.before_p && t("P{grit} before it", { grit: doc.before_p }),
    doc.after_p && t("P{grit} after it", { grit: doc.after_p }),
  ]
    .filter(Boolean)
    .join(", ");
  return [last && `${gunWords(last.gun, last.set, pressureUnit())}.`, papers && `${papers}.`].filter(Boolean).join(" ");
}
