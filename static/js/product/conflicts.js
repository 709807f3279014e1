// Two phones changed a sheet at once: both versions side by side, and a person who keeps one.
import { record } from "../ui/record.js";
import { t } from "../core/base/translate.js";
import { clock } from "../core/base/words.js";
import * as acts from "../data/acts.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { CLASS_WORDS } from "../ui/dialogs.js";
import { figuresOf } from "./figures.js";
import { copy, paint as paintRow, paintList, show } from "../ui/dom.js";

/** Every standing version of a sheet: the one in force first. */
function versions(on) {
  const { doc, head, rivals } = views.view(on);
  return [{ id: head, doc }, ...rivals];
}

export function paint(on, units, now, zone) {
  const { rivals } = views.view(on);
  show("sheet-rivals-box", rivals.length > 0);
  if (!rivals.length) return;
  const all = versions(on);
  const perSheet = all.map((one) => new Map(figuresOf(one.doc, units, CLASS_WORDS)));
  const differing = [...new Set(perSheet.flatMap((one) => [...one.keys()]))].filter(
    (what) => new Set(perSheet.map((one) => one.get(what))).size > 1,
  );
  const written = new Map(shop.actsOf(on).map((act) => [act.id, act]));
  const rows = all.map(({ id }, nth) => ({
    key: id,
    title: titleOf(clock(written.get(id)?.at ?? now, now, zone), whoOf(on, written.get(id)), nth === 0),
    differs: differing.map((what) => ({
      what: `${what}:`,
      words: perSheet[nth].get(what) ?? t("not said [[a figure of a sheet]]"),
    })),
  }));
  paintList(document.getElementById("sheet-rivals"), "sheet-rival", rows, paintVersion);
}

function titleOf(time, who, rules) {
  if (!who)
    return rules ? t("Written {time}, in force now [[a sheet]]", { time }) : t("Written {time} [[a sheet]]", { time });
  return rules
    ? t("Written {time} by {who}, in force now [[a sheet]]", { time, who })
    : t("Written {time} by {who} [[a sheet]]", { time, who });
}

/** Who wrote it, and who told it where that is hearsay; "" where nobody knows. */
function whoOf(on, act) {
  if (!act?.who) return "";
  const teller = shop.toldBy(on, act.id);
  const who = queries.called(act.who);
  return teller ? t("{who} (told by {teller})", { who, teller: queries.called(teller) }) : who;
}

/** Write one version over all of them. */
export function keep(on, key) {
  const all = versions(on);
  const { doc } = all.find((one) => one.id === key);
  return record(
    acts.sheetWritten(
      on,
      doc,
      all.map((one) => one.id),
    ),
  );
}

function paintVersion(row, value) {
  paintRow(row, value);
  const differs = value.differs.length ? value.differs : [{ what: t("The same in every figure."), words: "" }];
  const words = JSON.stringify(differs);
  if (row.dataset.words === words) return;
  row.dataset.words = words;
  row.querySelector(".differs").replaceChildren(
    ...differs.map((one) => {
      const made = copy("sheet-differs");
      paintRow(made, one);
      return made;
    }),
  );
}
