// The air: how it is, how cold it will get, and the surface of one panel.  Loaded when first asked for.
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { dewPointDc } from "../core/clock/damp.js";
import { decimal, t } from "../core/base/translate.js";
import { clamp, HOUR_MS, MINUTE_MS } from "../core/base/units.js";
import { clock as clockWords, opens, span } from "../core/base/words.js";
import * as clock from "../data/clock.js";
import * as events from "../data/events.js";
import { setVals } from "../ui/act_markup.js";
import { buttons, open } from "../ui/dialogs.js";
import { paintList, say, show } from "../ui/dom.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { degrees, stepped } from "../ui/units.js";

const TIMES_MIN = [18 * 60, 22 * 60, 2 * 60, 6 * 60];
const LAMPS_MIN = [10, 20, 30, 60, 240, 0];
const RAMPS_MIN = [0, 5, 10, 15, 20, 30];
const air = { temp: ASSUMED_DC, rh: null, later: ASSUMED_DC, at: 0 };
const lamp = { temp: ASSUMED_DC, warm: 0, minutes: 0, cool: 0 };
let rules = false; // whether the panel is warmed already
const node = (id) => document.getElementById(id);
let local = null;
events.listen("changed", () => node("dialog-air").open && paintAir());

export const actions = {
  air: (data, { zone }) => openAir(zone),
  "air-dial": ({ dial, by }) => turn(dial, Number(by)),
  "air-when": ({ at }) => {
    air.at = Number(at);
    paintAir();
  },
  "air-surface": (data, { on, zone }) => openSurface(on, zone),
  "air-lamp": ({ part, minutes }) => {
    lamp[part] = Number(minutes);
    paintSurface();
  },
};

/** Nothing of the air stands on a screen of its own. */
export const paint = () => {};

function openAir(zone) {
  const read = lastRead(views.airState(), clock.now());
  local = zone;
  Object.assign(air, { temp: read ? read[1] : ASSUMED_DC, rh: read?.[2] ?? null, at: 0 });
  air.later = air.temp;
  paintAir();
  open("dialog-air", "air");
}

function turn(which, by) {
  if (which === "temp") air.temp = clamp(stepped(air.temp, by), -400, 600);
  if (which === "later") air.later = clamp(stepped(air.later, by), -400, 600);
  if (which === "rh") air.rh = air.rh === null ? 500 : clamp(air.rh + 50 * by, 0, 1000);
  if (which === "lamp") lamp.temp = clamp(stepped(lamp.temp, by), -400, 1500);
  paintAir();
  paintSurface();
}

function paintAir() {
  if (!local) return;
  const now = clock.now();
  setVals(node("air-tell"), { kind: "air_read", temp_dc: air.temp, rh_pm: air.rh });
  setVals(node("air-expect"), { kind: "air_expected", temp_dc: air.later, for_ms: air.at });
  say("air-temp", degrees(air.temp));
  say("air-rh", air.rh === null ? t("not told") : `${decimal(String(air.rh / 10))} %`);
  say("air-hint", air.rh === null ? t("Humidity: leave it if there is no gauge.") : dewWords());
  say("air-later", degrees(air.later));
  buttons(
    "air-times",
    TIMES_MIN.map((minute) => next(minute, now))
      .sort((a, b) => a - b)
      .map((at) => [opens(at, now, local), { do: "air-when", at }, "", at === air.at]),
  );
  const coming = shop.actsOf("air").filter((act) => act.kind === "air_expected" && act.for_ms > now);
  const standing = coming.filter((act) =>
    views.airState().expected.some(([at, temp]) => at === act.for_ms && temp === act.temp_dc),
  );
  paintList(
    node("air-expected"),
    "expected-row",
    [...new Map(standing.map((act) => [act.for_ms, act])).values()].map((act) => ({
      key: act.id,
      vals: { act: act.id },
      words: t("{temp} by {time}", { temp: degrees(act.temp_dc), time: clockWords(act.for_ms, now, local) }),
    })),
  );
}

const dewWords = () =>
  t("Dew point {temp}: metal colder than that gets wet, and a panel wants to be 3 °C (5 °F) above it.", {
    temp: degrees(dewPointDc(air.temp, air.rh)),
  });

/** The next moment at which a clock of the shop shows a minute of the day. */
function next(minute, now) {
  const day = 24 * HOUR_MS;
  const east = local.minutesEast(now) * MINUTE_MS;
  const midnight = Math.floor((now + east) / day) * day - east;
  const at = midnight + minute * MINUTE_MS;
  return at > now ? at : at + day;
}

function openSurface(on, zone) {
  local = zone;
  const last = views.view(on).surfaces?.at(-1);
  rules = Boolean(last && (last[1] === null || last[1] > clock.now()));
  lamp.temp = rules ? last[2] : (lastRead(views.airState(), clock.now())?.[1] ?? ASSUMED_DC);
  Object.assign(lamp, { warm: 0, minutes: 0, cool: 0 });
  node("surface-ramps").open = false;
  paintSurface();
  show("surface-end", rules);
  open("dialog-surface", on);
}

function paintSurface() {
  const { temp, warm, minutes, cool } = lamp;
  const ramps = warm || cool ? { warm_ms: warm * MINUTE_MS, cool_ms: cool * MINUTE_MS } : {};
  setVals(node("surface-tell"), { kind: "surface_read", temp_dc: temp, minutes, ...ramps });
  say("surface-temp", degrees(temp));
  chips("surface-warms", "warm", RAMPS_MIN, t("is warm now"));
  chips("surface-ends", "minutes", LAMPS_MIN, t("until I end it"));
  chips("surface-cools", "cool", RAMPS_MIN, t("not counted"));
  say("surface-says", warm || cool ? rampWords() : "");
}

const chips = (id, part, all, none) =>
  buttons(
    id,
    all.map((minutes) => [
      minutes ? span(minutes * MINUTE_MS) : none,
      { do: "air-lamp", part, minutes },
      "",
      minutes === lamp[part],
    ]),
  );

/** When the panel is at its temperature, as a painter checks it. */
function rampWords() {
  const [warm, soak] = [lamp.warm * MINUTE_MS, lamp.minutes * MINUTE_MS];
  const from = clockWords(clock.now() + warm, clock.now(), local);
  const temp = degrees(lamp.temp);
  if (!soak)
    return t("{temp} from {from}. While it warms and cools, the clocks count no more than the air.", { temp, from });
  const to = clockWords(clock.now() + warm + soak, clock.now(), local);
  return t("{temp} from {from} to {to}. While it warms and cools, the clocks count no more than the air.", {
    ...{ temp, from, to },
  });
}
