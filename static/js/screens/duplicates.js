// One coat that two phones told of: the sheet that asks whether it was laid once or twice.  Loaded when first asked
// for.
import { record } from "../ui/record.js";
import { pair } from "../core/fold/duplicates.js";
import { t } from "../core/base/translate.js";
import { shuts } from "../core/base/words.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import { buttons, close, open } from "../ui/dialogs.js";
import { faceOf } from "./floor.js";
import { say } from "../ui/dom.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";

export const actions = {
  "twice-ask": (data, { on, zone }) => ask(on, zone),
  "twice-once": ({ film }, { on }) => answer(on, film),
  "twice-both": (data, { on }) => answer(on, ""),
};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

function ask(on, zone) {
  const now = Math.floor(clock.now());
  const films = pair(views.view(on));
  if (!films.length) return;
  say("twice-words", faceOf(on, now, zone).twice);
  const once = new Map(
    films.map((film) => [
      t("Once, at {time}: {film}", { time: shuts(film.laid_at, now, zone), film: filmWords(film) }),
      { do: "twice-once", film: film.id },
    ]),
  ); // alike in words: the later
  const choices = [
    ...[...once].map((choice) => [...choice, "deed"]),
    [t("Twice: both were laid"), { do: "twice-both" }, "deed quiet"],
  ];
  open("dialog-twice", on);
  const looks = shop.meta.role === "wall";
  buttons("twice-choices", looks ? [] : choices);
  say("twice-error", looks ? t("This phone is on the wall: it may only look. Answer on a phone.") : "");
}

const filmWords = ({ sheet, who }) =>
  [sheet.name, sheet.variant, who === shop.meta.phone ? t("told by this phone") : ""].filter(Boolean).join(", ");

/** The answer says of each film whether it stands, so that of two answers the later one rules whole. */
async function answer(on, kept) {
  const films = pair(views.view(on)).map((film) => film.id);
  if (!films.length) return close("dialog-twice"); // it was answered on another phone in the meantime
  const stays = films.filter((film) => !kept || film === kept);
  const goes = films.filter((film) => !stays.includes(film));
  const both = goes.length ? [] : [acts.born(on, "both_laid", { films })];
  const answers = [
    ...both,
    ...goes.flatMap((film) => actsOn(on, film, "undone")),
    ...stays.flatMap((film) => actsOn(on, film, "restored")),
  ];
  close("dialog-twice"); // once what it holds is good
  await record(...answers);
}

/** Taken out, or said to stay, with what was said of the cup. */
function actsOn(on, film, kind) {
  const laid = shop.actsOf(on).filter((act) => act.kind === "film_laid" && act.film === film);
  const undoing = laid.flatMap((act) => acts.undoing(kind, on, act.id));
  return kind === "undone" ? undoing : undoing.map((act) => ({ ...act, stays: true }));
}
