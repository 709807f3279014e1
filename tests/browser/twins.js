// The JavaScript side of test_twins.py: loads every twin, and answers cases with sorted JSON text.
async ([places, nowMs]) => {
  const missing = (why) => ({ missing: String(why) }); // one twin that fails leaves the others to be asked
  const names = Object.keys(places);
  const loaded = await Promise.all(names.map((name) => import(`/js/core/${places[name]}.js`).catch(missing)));
  const core = Object.fromEntries(names.map((name, at) => [name, loaded[at]]));
  const { air, check, cure, film, order, panel, shelf, words } = core;
  const { envelope: acts, finishing, panel_card: face, lane_cards, floor_order: ring } = core;
  const { clock_step: { isCuring }, top_films: top, lanes, alarms, damp, forecast, quiet_hours: hours } = core;
  const byCodePoint = (a, b) => {
    const [x, y] = [a, b].map((text) => [...text].map((sign) => sign.codePointAt()));
    const at = x.findIndex((sign, nth) => sign !== y[nth]);
    return at < 0 ? x.length - y.length : x[at] - (y[at] ?? -1);
  };
  const text = (value) => {
    if (Array.isArray(value)) return `[${value.map(text).join(',')}]`;
    if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? '"undefined"';
    const pairs = Object.keys(value).sort(byCodePoint).map((key) => `${JSON.stringify(key)}:${text(value[key])}`);
    return `{${pairs.join(',')}}`;
  };
  const zoneOf = (spec) => ({ minutesEast: (ms) => (spec.findLast(([from]) => from <= ms) ?? spec[0])[1], hours: '24' });
  const orCold = (reckon) => {
    try {
      return reckon();
    } catch (why) {
      if (why instanceof cure.TooCold) return `too cold: ${why.message}`;
      throw why;
    }
  };
  const rowOf = ({ id, acts }, trace, now, zone) => {
    const state = panel.fold(acts);
    const times = film.times(state, trace);
    const card = lane_cards.card(state, times, trace, now, zone);
    return lane_cards.rows(id, state.added_at, times, card, isCuring(state));
  };
  const asked = {
    order: (given) => ({
      order: order.inOrder(given).map((act) => act.id),
      out: [...order.takenOut(given)].sort(),
      standing: order.standing(given).map((act) => act.id),
    }),
    panel: ({ acts, readings, surfaces, nows, zone: spec }) => {
      const zone = zoneOf(spec);
      const state = panel.fold(acts);
      const trace = air.trace(air.fold(readings), surfaces);
      const times = film.times(state, trace);
      const areas = ['', ...state.films.map((one) => one.area)];
      const at = (now) => ({
        face: lane_cards.card(state, times, trace, now, zone),
        next: face.nextAt(state, times, now),
        ask: film.askAgainAt(times.laid_at ?? now, times.opens_at, now),
      });
      const under = areas.map((area) => top.under(state, area));
      const after = { steps: finishing.steps(state), curing: isCuring(state) };
      return { state, trace, times, under, after, lanes: lanes.lanes(state), nows: nows.map(at) };
    },
    air: ({ acts, surfaces, nows }) => {
      const folded = air.fold(acts);
      const trace = air.trace(folded, surfaces);
      const at = (now) => [air.at(trace, now), air.lastRead(folded, now), air.stale(folded, now)];
      return { folded, trace, bare: air.trace(folded), nows: nows.map(at) };
    },
    job: ({ on, acts, readings, told, now, quiet, zone: spec, sheet }) => {
      const [zone, state, folded] = [zoneOf(spec), panel.fold(acts), air.fold(readings)];
      const trace = film.felt(state, folded, air.trace(folded));
      const times = film.times(state, trace);
      const card = lane_cards.card(state, times, trace, now, zone);
      const rings = alarms.rings(on, state, times, now);
      const fresh = hours.isQuiet(quiet, now, zone) ? [] : alarms.overdue(rings, told, now);
      const named = ({ gate, area }) => [alarms.nameOf(state, area), alarms.todo(state, gate, area)];
      const words = (ring) => alarms.words(ring, ...named(ring), now, zone);
      const against = () => [
        ...damp.coatWarnings(sheet, ...air.lastRead(folded, now).slice(1, 3), null),
        ...forecast.warnings(sheet, now, trace, zone),
      ];
      const keys = ['area', 'state', 'step', 'say', 'left', 'buttons', 'then', 'note', 'waits'];
      const shown = (one) => Object.fromEntries(keys.map((key) => [key, one[key] ?? '']));
      return {
        shown: shown(card),
        lanes: (card.lanes ?? []).map(shown),
        curing: isCuring(state),
        ahead: rings.map((ring) => [ring.kind, ring.at_ms]),
        heard: fresh.map((ring) => ({ key: ring.key, words: words(ring) })),
        warns: sheet ? against() : [],
      };
    },
    floor: ({ panels, readings, now, zone: spec }) => {
      const zone = zoneOf(spec);
      const trace = air.trace(air.fold(readings));
      const rows = panels.flatMap((one) => rowOf(one, trace, now, zone));
      return { rows: ring.floorOrder(rows), hands: ring.handsLine(rows, now, zone) };
    },
    rows: ({ rows, now, zone: spec }) => {
      const zone = zoneOf(spec);
      return { rows: ring.floorOrder(rows), hands: ring.handsLine(rows, now, zone) };
    },
    shelf: (acts) => shelf.fold(acts),
    laid: ({ product, variant }) => shelf.laidSheet(product, variant),
    offers: ({ products, wanted, last, temp }) => shelf.offers(products, wanted, last, temp),
    refusal: (act) => acts.refusal(act, nowMs),
    new_id: ({ at, bytes }) => acts.newId(at, new Uint8Array(bytes)),
    wait: ({ sheet, gate, temps }) =>
      [cure.opening(sheet, gate), cure.closing(sheet, gate)].map((side) =>
        temps.map((temp) => orCold(() => cure.waitMs(side, temp))),
      ),
    reach: ({ sheet, gate, start, trace }) => [
      cure.opensAt(cure.opening(sheet, gate), start, trace),
      cure.closesAt(cure.closing(sheet, gate), start, trace),
      cure.beyond(cure.opening(sheet, gate), start, start + 3600000, trace, cure.COLD),
      cure.opening(sheet, gate),
      cure.closing(sheet, gate),
    ],
    span: (ms) => words.span(ms),
    degrees: (temp) => words.degrees(temp),
    plain: ([value, scale]) => check.plain(value, scale),
    clock: ({ at, now, zone }) => ['clock', 'opens', 'shuts'].map((said) => words[said](at, now, zoneOf(zone))),
    sign: (point) => {
      try {
        check.text('It', String.fromCodePoint(point), 1, 200);
      } catch (why) {
        return why.message;
      }
      return '';
    },
    exports: (name) => {
      const kinds = { made: [], held: {} };
      for (const [key, value] of Object.entries(core[name])) {
        if (typeof value === 'function') kinds.made.push(key);
        else kinds.held[key] = value instanceof RegExp ? 'pattern' : value;
      }
      return { made: kinds.made.sort(), held: kinds.held };
    },
  };
  const answer = (name, given) => {
    try {
      return text(asked[name](given));
    } catch (why) {
      return `threw ${why.stack}`.replaceAll('\n', ' ');
    }
  };
  window.ask = ([name, given]) => JSON.parse(given).map((one) => answer(name, one)).join('\n');
}
