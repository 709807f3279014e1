// Every figure of a sheet in words, to lay two sheets side by side.  Pure: no page, no clock.
import { later, t } from "../core/base/translate.js";
import { KINDS, tempWords, timeWords } from "./parse.js";
import { FIGURES, GATE_NAMES, HARDENER_WORDS, OWN, USE_WORDS } from "./fields.js";
import { formOf } from "./form_values.js";

const SOLIDS_OF = {
  tin: later("Paint in the tin"),
  mixed: later("Paint and hardener, no reducer"),
  ready: later("Ready to spray [[the mix]]"),
};

/** Every figure of a doc in words: [[what, words], ...], to lay two docs side by side; `classes` are the names of
 *  classes. */
export function figuresOf(doc, units, classes) {
  const form = formOf(doc, units);
  const one = Object.entries(FIGURES).map(([key, [what, kind]]) => [
    t(what),
    form[key] && kind !== "lead" ? `${form[key]} ${KINDS[kind].sign(units)}`.trim() : form[key],
  ]);
  const gates = (all, label = (what) => what) =>
    Object.keys(all ?? {}).map((gate) => [
      label(t(GATE_NAMES[gate])),
      all[gate].map((point) => pointWords(point, units)).join(", "),
    ]);
  const variants = (doc.variants ?? []).flatMap((each) => [
    [t("Variant {name}", { name: each.name }), bandWords(each.band_dc, units)],
    [
      t("{variant}: {what}", { variant: each.name, what: t("Ratio [[of a mix]]") }),
      each.ratio ? ratioWords(each.ratio) : "",
    ],
    ...ownRows(each, units),
    ...gates(each.gates, (what) => t("{variant}: {what}", { variant: each.name, what })),
  ]);
  const coats = (doc.coat_gates ?? []).flatMap((each) =>
    gates(each.gates, (what) => t("From coat {coat}: {what}", { coat: each.coat, what })),
  );
  const rest = [
    [t("Solids of what"), form.solids_pm && doc.solids_of ? t(SOLIDS_OF[doc.solids_of]) : ""],
    [t("Hardener"), form.span_from && fromTo(form.span_from, form.span_to)],
    [
      t("Ribbon [[of hardener]]"),
      form.ribbon_mm && t("{mm} mm on a disc of {disc} mm", { mm: form.ribbon_mm, disc: form.ribbon_disc }),
    ],
  ];
  const head = [
    [t("Name"), doc.name],
    [t("Class [[of product]]"), t(classes[doc.cls])],
    [t("What it is for"), (doc.uses ?? []).map((use) => t(USE_WORDS[use])).join(", ")],
    [t("The hardener holds [[a substance]]"), doc.hardener ? t(HARDENER_WORDS[doc.hardener]) : ""],
    [t("A spray can, ready to spray"), doc.in_can ? t("yes") : ""],
    [t("Ratio [[of a mix]]"), doc.ratio ? ratioWords(doc.ratio) : ""],
    ...gates(doc.gates),
  ];
  return [
    ...head,
    ...variants,
    ...coats,
    ...one,
    ...rest,
    [t("Notes"), form.notes],
    [t("Date of the sheet"), form.sheet_date],
  ].filter(([, words]) => words);
}

/** A variant's own figures in words. */
function ownRows(variant, units) {
  const told = OWN.filter((key) => variant[key] != null).map((key) => {
    const [what, kind] = FIGURES[key];
    return [t(what), `${KINDS[kind].write(variant[key], units)} ${KINDS[kind].sign(units)}`.trim()];
  });
  const rows = [
    [t("Mixed for [[a use]]"), variant.use ? t(USE_WORDS[variant.use]) : ""],
    [t("The hardener holds [[a substance]]"), variant.hardener ? t(HARDENER_WORDS[variant.hardener]) : ""],
    ...told,
  ];
  return rows.map(([what, words]) => [t("{variant}: {what}", { variant: variant.name, what }), words]);
}

const fromTo = (from, to) => t("{from} to {to} [[figures with their signs]]", { from, to });

const bandWords = (band, units) =>
  band ? fromTo(...band.map((dc) => tempWords(dc, units.temp))) : t("any temperature");

const ratioWords = ({ parts, by }) =>
  by === "weight"
    ? t("{parts} by weight", { parts: parts.join(" : ") })
    : t("{parts} by volume", { parts: parts.join(" : ") });

const pointWords = ([dc, ...times], units) => `${tempWords(dc, units.temp)} ${timeWords(...times)}`;
