// What must hold: of each page at any moment, and of all once they rest.
import { alike } from "./server.js";
import { core } from "./client.js";

const { $core_clock_air: air, $core_card_cup: cup } = core;
const { $core_fold_panel: panel, $core_fold_shelf: shelf, $core_fold_shop_state: house } = core;
const FOLDS = { panel, cup, air, product: shelf, route: shelf, shop: house };
const REFUSED_RIGHTLY = (act) => act.temp_dc === 4000 || act.rh_pm === 2000 || (act.on === "air" && act.kind === "panel_named");

/** Whether every phone has told and heard all. */
export const rests = (world) =>
  world.phones.every(
    (phone) => phone.up.length === phone.wantsPages && phone.sleepsUntil <= world.loop.now && phone.up.every(isQuiet(world)),
  );

const isQuiet = ({ server }) => (page) => {
  const { $data_state: shop, $data_db: db } = page.modules;
  const { cursor, cursorAct, memory, recount } = shop.meta;
  const isSameAct = (cursorAct ?? "") === (server.bySeq[server.seq] ?? ""); // else the server was put back, and counts again
  const isLevel = cursor === server.seq && isSameAct && memory === server.epoch && !recount;
  const isOnDisk = page.phone.disk.count("kept") === server.things.size; // else it was emptied, and is filled again
  return isLevel && isOnDisk && !shop.unsent().length && !db.owes() && !shop.rows().some((row) => row.seq);
};

/** A tap never leaves the page that it was made on, nor one that began after it was safe. */
export function knows(world, page) {
  if (!page.isUp || !page.hasRead) return; // a disk that would not open: the page says so, and looks again
  const { $data_state: shop } = page.modules;
  const known = new Set([...shop.heardActs(), ...shop.rows().map((row) => row.act)].map((act) => act.id));
  for (const [id, { act, page: maker, isTold, isKept, isOut, at }] of page.phone.taps) {
    if (isOut || !isTold || known.has(id) || act.on === "air") continue; // of the air, an old reading is heard and not needed
    if (maker === page || (isKept && page.bornAt > at && !page.phone.isEmptied)) world.fault(`vanished from a page: ${JSON.stringify(act)}`);
  }
}

export async function check(world) {
  for (const phone of world.phones) for (const page of phone.up) knows(world, page);
  nothingLost(world);
  rightMoments(world);
  sameOnAll(world);
  for (const phone of world.phones) {
    phone.road = { ...phone.road, isOnLine: false };
    phone.wantsPages = 1;
    for (const page of [...phone.pages]) phone.kill(page, 10);
  }
  await world.pass(1_500);
  sameOnAll(world); // and so says the disk
}

/** What was safe once is in the log, or was refused rightly and stands on its phone. */
function nothingLost({ phones, server, fault }) {
  for (const phone of phones)
    for (const [id, { act, isKept, isOut }] of phone.taps) {
      const stored = server.acts.get(id)?.act;
      const row = phone.up[0].modules.$data_state.rowOf(id);
      if (row?.why && !REFUSED_RIGHTLY(act)) fault(`refused: ${row.why} ${JSON.stringify(act)}`);
      if (isKept && !isOut && !stored && !row?.why) fault(`lost: ${JSON.stringify(act)}`);
      if (stored && !alike({ ...stored, at: 0, at_ms: 0, ask_at: 0, who: 0 }, { ...act, at: 0, at_ms: 0, ask_at: 0, who: 0 }))
        fault(`altered: ${JSON.stringify([stored, act])}`);
    }
}

/** Of a phone whose clock was wrong by one amount, every tap is in the log at its true moment. */
function rightMoments({ phones, server, fault }) {
  for (const phone of phones)
    for (const [id, { at }] of phone.isClockSet ? [] : phone.taps) {
      const stored = server.acts.get(id)?.act;
      if (stored && Math.abs(stored.at - at) > 6_500) fault(`moved by ${stored.at - at} ms: ${JSON.stringify(stored)}`);
    }
}

function sameOnAll({ phones, server, fault }) {
  for (const phone of phones) {
    if (!phone.up.length) fault("a page did not come up");
    for (const page of phone.up) {
      const { $data_views: views, $data_state: shop } = page.modules;
      const ons = shop.heardThings();
      if (ons.length !== server.things.size) fault(`things: ${ons} and ${[...server.things.keys()]}`);
      for (const [on, { state }] of server.things) {
        const acts = server.actsOf(on).map((one) => one.act);
        const folded = JSON.parse(JSON.stringify(FOLDS[on.split(":")[0]].fold(acts.reverse())));
        if (!alike(folded, state) || !alike(views.view(on), folded))
          fault(`diverged on ${on}: ${JSON.stringify([views.view(on), folded])}`);
      }
    }
  }
}
