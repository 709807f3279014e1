// What people tap: made by the product's own makers (data/acts.js) of what the page shows, mostly what a card offers.
const STEPS = [
  { id: "1", do: "clean", words: "Wash" },
  { id: "2", do: "fill", words: "Putty", cls: "putty" },
  { id: "3", do: "sand", words: "Block", grit: 180 },
  { id: "4", do: "coat", words: "Surfacer", cls: "surfacer", coats: 2 },
];
const DEEDS = { add: 3, work: 10, found: 2, undo: 4, change: 3, air: 3, fix: 2, shelf: 2, pour: 1, poison: 1 };

/** The acts of one tap on a page, or none where there is nothing to do. */
export function tap(world, page) {
  const { chance } = world;
  const { $data_acts: acts, $data_queries: queries, $data_views: views, $data_state: shop } = page.modules;
  const floor = queries.onFloor();
  const on = floor.length ? chance.one(floor) : null;
  const products = queries.docs("product").filter((one) => one.away_at === null);
  const given = { acts, queries, views, shop, on, products, chance, world };
  const deed = floor.length ? chance.weighted(DEEDS) : chance.one(["add", "add", "air"]);
  try {
    return MAKERS[deed](given) ?? [];
  } catch (why) {
    if (!(why instanceof TypeError || why instanceof ReferenceError)) return []; // refused in words
    throw why;
  }
}

const MAKERS = {
  add: ({ acts, chance }) => [acts.panelAdded("Left front door", "", { name: "Door", steps: STEPS.slice(chance.whole(0, 3)) })],
  work({ acts, on, views, products, chance }) {
    const step = views.view(on).steps.find((one) => one.done_at === null);
    if (!step) return acts.made(on, "panel_put_away", {});
    if (!["fill", "coat"].includes(step.do) || !products.length) return acts.made(on, "step_done", {});
    return acts.made(on, "film_laid", { product: chance.one(products).on, variant: "2" });
  },
  found: ({ acts, on, chance, views }) =>
    views.view(on).films.length ? acts.made(on, chance.one(["found_ready", "found_not_ready"]), {}) : [],
  undo({ acts, shop, chance }) {
    const known = [...shop.heardActs(), ...shop.rows().filter((row) => !row.why).map((row) => row.act)];
    const act = chance.one(known);
    const target = ["undone", "restored"].includes(act.kind) ? act.act : act.id;
    return acts.made(act.on, chance.one(["undone", "undone", "restored"]), { act: target });
  },
  change({ acts, on, views, chance }) {
    const { steps } = views.view(on);
    const step = steps.length ? chance.one(steps).id : "gone";
    const scuff = { step: { do: "sand", cls: "", coats: 1, area: "" }, where: "now", words: "Scuff P400" };
    const [kind, fields] = chance.one([
      ["step_added", scuff],
      ["step_dropped", { step }],
      ["step_moved", { step, by: chance.whole(-2, 2) }],
      ["panel_named", { name: chance.one(["Hood", "<b>", "__proto__"]), job: "" }],
      ["panel_put_away", {}],
      ["step_done", { step, all: "before" }],
    ]);
    return acts.made(on, kind, fields);
  },
  /** Of any act that can be corrected, known here or not: it was some minutes before, or something else. */
  fix({ acts, shop, chance }) {
    const known = [...shop.heardActs(), ...shop.rows().filter((row) => !row.why).map((row) => row.act)];
    const some = known.filter((act) => ["film_laid", "step_done", "air_read", "cup_mixed"].includes(act.kind));
    if (!some.length) return [];
    const act = chance.one(some);
    const said = act.kind === "film_laid" && chance.is(0.5) ? { product: act.product, sheet: act.sheet, coat: 2 } : {};
    const moment = act.at - chance.whole(0, 40) * 60_000;
    return acts.made(act.on, "act_corrected", { act: act.id, of: act.kind, at_ms: moment, ...said });
  },
  air: ({ acts, chance }) => acts.made("air", "air_read", { temp_dc: chance.whole(50, 350), rh_pm: chance.is(0.5) ? 500 : null }),
  shelf({ acts, products, chance, world }) {
    const one = products.length ? chance.one(products) : null;
    if (!one) return [];
    if (chance.is(0.3)) return [acts.productMoved(one.on, true)];
    const { head, doc } = { ...one };
    return [acts.sheetWritten(one.on, { ...doc, lowest_dc: chance.whole(0, 150) }, head ? [head] : [])];
  },
  pour({ acts, products, on }) {
    const [product] = products;
    const amounts = [1000, 500];
    const names = ["Surfacer", "Hardener"];
    return product ? [acts.cupMixed({ productOn: product.on, variant: "2", by: "volume", amounts, names, panels: [on] })] : [];
  },
  /** An act that the server must refuse, as an older version may make it. */
  poison({ acts, chance }) {
    const [good] = acts.made("air", "air_read", { temp_dc: 200, rh_pm: null });
    return [chance.one([{ ...good, temp_dc: 4000 }, { ...good, rh_pm: 2000 }, { ...good, kind: "panel_named", name: "Hood" }])];
  },
};

/** A garage at work: the air, two products. */
export const commonStart = (page, { products }) => {
  const { $data_acts: acts } = page.modules;
  return [...acts.made("air", "air_read", { temp_dc: 215, rh_pm: null }), ...products.map((doc) => acts.sheetWritten(`product:${doc.id}`, doc, []))];
};
