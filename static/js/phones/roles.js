// The phones of the shop: who is in it, roles, letting one in, ending one, the recovery phrase.  Loaded when asked for.
import { record } from "../ui/record.js";
import * as acts from "../data/acts.js";
import * as displays from "./displays.js";
import * as dialogs from "../ui/dialogs.js";
import * as qrcode from "../device/qrcode.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { NoSignal, request, noAnswer } from "../sync/api.js";
import { later, t } from "../core/base/translate.js";
import { span } from "../core/base/words.js";
import { paint as paintSpots, paintList, say, show } from "../ui/dom.js";

const LOOK_MS = 30_000;
const SOON_MS = 3_000; // while a code waits for its phone
const MINUTE_MS = 60_000;
const ROLES = {
  keeper: later("keeper [[a phone is one]]"),
  painter: later("painter [[a phone is one]]"),
  wall: later("on the wall, looks only"),
};
const IN = {
  keeper: later("“{name}” is in, as keeper."),
  painter: later("“{name}” is in, as painter."),
  wall: later("“{name}” is in, on the wall: it only looks."),
};
const FOR_ONE = {
  keeper: later("For one phone, keeper."),
  painter: later("For one phone, painter."),
  wall: later("For one phone, on the wall, looks only."),
};
const MINE = {
  keeper: later("This is a keeper's phone."),
  painter: later("This is a painter's phone. A keeper's phone lets others in."),
  wall: later("This phone is on the wall: it may only look. A keeper's phone can change that."),
};
const node = (id) => document.getElementById(id);
let answer = null; // what the server said last
let looked = -Infinity;
let trouble = "";
let opening = null; // the code that waits for its phone
let phrase = ""; // shown until it is on paper
let open = ""; // the phone whose buttons are shown
let sure = ""; // the phone that would be ended
let whys = {}; // what was refused, by phone
let came = ""; // who came in last

export const actions = {
  "phones-let": async ({ role }) => {
    const made = await ask("phones/code", { role });
    opening = { ...made, role, known: new Set(answer.phones.map((one) => one.id)) };
    came = "";
    await qrcode.draw(node("phones-qr"), `${location.origin}/#join=${made.secret}`);
  },
  "phones-close": () => (opening = null),
  "phones-open": ({ key }) => {
    open = open === key ? "" : key;
    sure = "";
  },
  "phones-not": () => (sure = ""),
  "phones-role": ({ key, role }) => change(key, "role", { role }),
  "phones-door": async () => hear(await ask("phones/door", { open: answer.door.open ? "0" : "1" })),
  "phones-end": ({ key }) => (sure = key),
  "phones-end-sure": ({ key }) => change(key, "end"),
  "phones-back": ({ key }) => change(key, "back"),
  "phones-phrase": async () => {
    phrase = (await ask("phones/phrase", {})).phrase;
    shop.note({ phrase: true });
    looked = -Infinity;
  },
  "phones-name": () => {
    node("shop-name").value = nameOfShop();
    dialogs.open("dialog-shop", "shop");
  },
  "phones-named": async () => {
    const born = acts.born("shop", "shop_named", { name: node("shop-name").value.trim() });
    dialogs.close("dialog-shop");
    await record(born);
  },
  ...displays.actions,
  "phones-print": () => print(),
  "phones-hide": () => (phrase = ""),
};

export function paint(now, zone) {
  if (performance.now() - looked > (opening ? SOON_MS : LOOK_MS)) look();
  say("phones-words", trouble || came || (answer ? t(MINE[answer.role]) : t("Asking the server")));
  say("phones-shop", nameOfShop());
  show("phones-name", shop.meta.role === "keeper");
  show("phones-keeper", answer?.role === "keeper");
  for (const id of ["phones-recovery", "phones-displays"]) show(id, answer?.role === "keeper");
  if (answer?.role === "keeper") displays.paint(now, zone);
  paintOpening(now);
  if (!answer) return;
  paintList(
    node("phones-list"),
    "phones-row",
    answer.phones.map((one) => rowOf(one, now)),
    paintRow,
  );
  paintPhrase();
  paintDoor();
}

/** Only the one shop of an open host has a door that stands open. */
function paintDoor() {
  show("phones-door", Boolean(answer.door) && answer.role === "keeper");
  if (!answer.door) return;
  say(
    "phones-door-words",
    answer.door.open
      ? t("Open: every phone that opens this address comes in, without a code.")
      : t("Closed: a phone comes in by a code only. Ending a phone closes the door."),
  );
  say("phones-door-deed", answer.door.open ? t("Close the door") : t("Open the door"));
}

async function look() {
  looked = performance.now();
  await ask("phones").then(hear, () => {});
}

function hear(fields) {
  answer = fields;
  const keepers = fields.phones.filter((one) => one.role === "keeper" && one.ended_ms === null);
  if (keepers.length > 1) whys = {}; // what was refused of the last keeper's phone is true no more
  const newcomer = opening && fields.phones.find((one) => !opening.known.has(one.id) && !one.ended_ms);
  if (!newcomer) return;
  came = t(IN[newcomer.role], { name: nameOf(newcomer) });
  opening = null;
}

async function change(key, what, fields = {}) {
  whys = {};
  sure = came = "";
  await ask(`phones/${what}`, { phone: key, ...fields }).then(hear, (why) => (whys = { [key]: why.message }));
}

function paintOpening(now) {
  const left = opening ? opening.until_ms - now : 0;
  if (opening && left <= 0) {
    opening = null;
    came = t("The code is over: nobody came in by it. Make a new one.");
  }
  show("phones-opening", Boolean(opening));
  show("phones-lets", !opening);
  if (!opening) return;
  say("phones-opening-words", t(FOR_ONE[opening.role]));
  say("phones-address", location.origin);
  say("phones-code", opening.code.replace(/...(?=.)/g, "$& "));
  say("phones-left", t("Good for {span} more. [[a code]]", { span: span(Math.ceil(left / MINUTE_MS) * MINUTE_MS) }));
}

/** As a keeper named it, heard or not yet; else as the server calls it. */
const nameOfShop = () => views.view("shop").name || shop.meta.name || "";

/** What people called a phone: in an act where there is one, else when it joined. */
function nameOf({ id, name }) {
  const fields = views.view("shop").phones?.[id];
  const person = fields?.person ? `, ${fields.person}` : "";
  return `${fields?.name || name || t("No name yet [[a phone]]")}${person}`;
}

function rowOf(one, now) {
  const ended = one.ended_ms !== null;
  return {
    key: one.id,
    name: nameOf(one),
    role: t(ROLES[one.role]),
    seen: ended ? endedWords(now - one.ended_ms) : seenWords(now - one.seen_ms, one.id === answer.here),
    deed: open === one.id ? t("Close [[shut what is shown]]") : t("Change [[do it, with a phone]]"),
    sure: t(
      "End “{name}”? It is told nothing more and the server takes nothing from it. What it holds stays on it, and you can let it back in. [[a phone]]",
      { name: nameOf(one) },
    ),
    why: whys[one.id] || "",
    own: one.role,
    ended,
  };
}

const isNow = (ago) => ago < 2 * MINUTE_MS;
const endedWords = (ago) =>
  isNow(ago) ? t("ended now [[a phone]]") : t("ended {span} ago [[a phone]]", { span: span(ago) });

function seenWords(ago, here) {
  if (here) return isNow(ago) ? t("this phone, seen now") : t("this phone, seen {span} ago", { span: span(ago) });
  return isNow(ago) ? t("seen now [[a phone]]") : t("seen {span} ago [[a phone]]", { span: span(ago) });
}

function paintRow(row, value) {
  paintSpots(row, value);
  const isOpen = open === value.key;
  row.querySelector("[data-do=phones-open]").hidden = answer.role !== "keeper";
  row.querySelector("[data-part=deeds]").hidden = !isOpen || sure === value.key;
  row.querySelector("[data-part=sure]").hidden = sure !== value.key;
  row.querySelector("[data-do=phones-end]").hidden = value.ended;
  row.querySelector("[data-do=phones-back]").hidden = !value.ended;
  for (const button of row.querySelectorAll("[data-role]")) {
    button.hidden = value.ended;
    button.setAttribute("aria-pressed", String(button.dataset.role === value.own));
  }
}

function paintPhrase() {
  const none = t(
    "None yet. If the keepers' phones are lost, nobody can open this shop again. Make the phrase, print it, keep it away from the phones.",
  );
  const some = t("There is one, on paper. Typed on any phone it makes that phone a keeper. A new one makes it void.");
  say("phones-phrase-words", phrase ? t("It is shown this once:") : answer.phrase ? some : none);
  say("phones-phrase-deed", answer.phrase ? t("Make a new phrase, the old one is void then") : t("Make the phrase"));
  say("phones-phrase", phrase);
  say("phones-paper-shop", nameOfShop());
  say("phones-paper-address", location.origin);
  show("phones-phrase-deed", !phrase);
  for (const id of ["phones-paper", "phones-paper-deeds"]) show(id, phrase !== "");
}

async function ask(where, fields) {
  try {
    const body = await request(`/${where}`, fields, t("Nothing was changed."));
    trouble = "";
    return body;
  } catch (why) {
    const silent = why instanceof NoSignal;
    trouble = fields ? "" : silent ? noAnswer(t("The phones are shown as it told them last.")) : why.message;
    throw why;
  }
}
