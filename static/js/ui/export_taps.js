// Taps that no server has, as a file for somewhere else; and what is said when the disk takes none.
import { t } from "../core/base/translate.js";
import { download } from "../device/download.js";
import { notice } from "./notice.js";
import * as disk from "../data/full_disk.js";
import * as shop from "../data/state.js";

/** All acts that stand only on this phone: the file's rows. */
export function takeOut() {
  const rows = [...shop.unsent(), ...shop.refused()];
  const { shop: id, name } = shop.meta;
  const file = { sandtime_taps: 1, shop: id, name, acts: rows.map((row) => row.act) };
  download(new Blob([JSON.stringify(file, null, 1)], { type: "application/json" }), "sandtime-taps.json");
  return rows;
}

/** Said once for each time that a disk begins to refuse; closed, the person has seen it. */
export function sayLoose() {
  if (disk.isFullSeen()) return;
  notice(
    t(
      "The phone keeps no more. What you tap is only on this page until the server has it: keep the page open, or take the taps out.",
    ),
    t("Take the waiting taps out as a file"),
    takeOut,
    disk.sawFull,
  );
}
