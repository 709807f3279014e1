// What a story begins with, kept as taps would keep it, without tapping: a panel on a route, its steps before one done.
async ([name, route, before, steps]) => {
  const { $data_queries: queries, $data_views: views } = await import("/static/joined/floor.js");
  const { $data_acts: acts, $ui_record: { record } } = await import("/static/joined/actions.js");
  const known = queries.docs("route").find(({ doc }) => doc.name.includes(route));
  if (!known && !steps) throw new Error(`no route ${route}`);
  const added = acts.panelAdded(name, "", steps ? { steps } : known.doc);
  await record(added);
  const step = added.steps.find(({ words }) => words === before);
  if (before && !step) throw new Error(`no step ${before}`);
  const done = before ? acts.made(added.on, "step_done", { step: step.id, all: "before" }) : [];
  if (done.length) await record(...done);
  return views.view(added.on).name;
}
