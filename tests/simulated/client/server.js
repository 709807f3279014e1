// The small server: what timers/log does with a post, by the phone's own rules.  A test gives the posts of whole schedules
// to the real server and finds every answer the same (tests/browser/test_schedules.py).
import { core } from "./client.js";

const { $core_acts_envelope: envelope, $core_clock_air: air, $core_card_cup: cup } = core;
const { $core_fold_panel: panel, $core_fold_shelf: shelf, $core_fold_shop_state: house } = core;
const FOLDS = { panel, cup, air, product: shelf, route: shelf, shop: house };
const MOST_EPOCHS = 5;
const OTHER = "The server holds another tap under this number.";

export class Server {
  seq = 0;
  acts = new Map(); // id -> {seq, act, by, archived}
  bySeq = []; // ids
  things = new Map(); // on -> {seq, state}
  causes = new Map(); // phone -> epochs that it began

  constructor(chance, { page = 200, mostActs = 200 } = {}) {
    Object.assign(this, { chance, page, mostActs, epoch: this.uuid(chance) });
  }

  uuid(chance = this.chance) {
    const hex = (places) => chance.whole(0, 16 ** places - 1).toString(16).padStart(places, "0");
    return `${hex(8)}-${hex(4)}-4${hex(3)}-a${hex(3)}-${hex(8)}${hex(4)}`;
  }

  /** All that a backup holds. */
  copy() {
    const acts = new Map([...this.acts].map(([id, one]) => [id, { ...one }]));
    return { seq: this.seq, epoch: this.epoch, acts, bySeq: [...this.bySeq], things: new Map(this.things) };
  }

  /** Put back from a copy: by the command, which begins a new epoch, or behind the server's back. */
  putBack(copy, isSilent) {
    Object.assign(this, copy);
    if (!isSilent) this.epoch = this.uuid();
  }

  /** A request with its acts: {status, words} or {status: 200, answer}. */
  exchange(phone, { acts, cursor, memory, cursor_act: cursorAct }, nowMs) {
    if (acts.length > this.mostActs) return { status: 413, words: `At most ${this.mostActs} taps at once.` };
    const heard = { cursor: Number(cursor), epoch: memory, act: cursorAct };
    const stand = this.stand(heard.cursor);
    const kept = acts.length ? this.keep(phone, acts, nowMs, stand) : null;
    const changed = this.changed(phone, heard, kept?.stand ?? stand, kept);
    return { status: 200, answer: { verdicts: kept?.verdicts ?? [], now: nowMs, ...changed } };
  }

  stand(cursor) {
    const { seq, epoch, bySeq } = this;
    return { seq, epoch, last: bySeq[seq] ?? "", atCursor: bySeq[cursor] ?? "" };
  }

  keep(phone, acts, nowMs, stood) {
    const { verdicts, fresh } = this.judge(acts, nowMs);
    const before = this.seq;
    for (const act of fresh) {
      this.seq += 1;
      const isHearsay = act.who != null && act.who !== phone;
      this.acts.set(act.id, { seq: this.seq, act, by: isHearsay ? phone : "", archived: false });
      this.bySeq[this.seq] = act.id;
    }
    const touched = new Map(fresh.map((act) => [act.on, this.acts.get(act.id).seq]));
    for (const [on, seq] of touched) this.things.set(on, { seq, state: this.fold(on) });
    for (const verdict of verdicts) if (!verdict.why) verdict.seq = this.acts.get(verdict.id).seq;
    const things = [...touched.keys()].sort((one, two) => touched.get(one) - touched.get(two));
    const last = fresh.length ? fresh.at(-1).id : stood.last;
    return { verdicts, before, things, stand: { ...stood, seq: this.seq, last } };
  }

  judge(acts, nowMs) {
    const [verdicts, fresh] = [[], new Map()];
    for (const act of acts) {
      const id = typeof act?.id === "string" ? act.id : null;
      const before = fresh.get(id) ?? this.acts.get(id)?.act;
      const isSame = before && alike(untimed(before), untimed(act));
      const why = isSame ? "" : before ? OTHER : envelope.refusal(act, nowMs);
      if (!why && !before) fresh.set(id, act);
      verdicts.push({ id, verdict: why ? "refused" : before ? "already kept" : "kept", ...(why && { why }) });
    }
    return { verdicts, fresh: [...fresh.values()] };
  }

  actsOf(on) {
    const own = [...this.acts.values()].filter((one) => one.act.on === on && !one.archived);
    return own.sort((one, two) => one.seq - two.seq);
  }

  /** A thing folded again; of the air, what no clock needs any more is put aside. */
  fold(on) {
    const own = this.actsOf(on);
    const acts = own.map((one) => one.act);
    if (on === "air") {
      const needed = new Set(air.needed(acts).map((act) => act.id));
      for (const one of own) one.archived = !needed.has(one.act.id);
    }
    return FOLDS[on.split(":")[0]].fold(acts);
  }

  changed(phone, heard, given, kept) {
    const before = kept?.before ?? given.seq;
    const stand = this.checked(given, heard, before, phone);
    const isBack = heard.cursor > before || !["", stand.epoch].includes(heard.epoch);
    const cursor = isBack ? 0 : heard.cursor;
    let [ons, more] = [[], false];
    if (kept && cursor === kept.before) ons = kept.things;
    else if (cursor < stand.seq) {
      const all = [...this.things].filter(([, { seq }]) => seq > cursor).sort(([, one], [, two]) => one.seq - two.seq);
      ons = all.slice(0, this.page).map(([on]) => on);
      more = all.length > this.page;
    }
    const fragments = ons.map((on) => this.fragment(on));
    const last = Math.max(cursor, fragments.at(-1)?.seq ?? 0, more ? 0 : stand.seq);
    return { fragments, cursor: last, cursor_act: this.actAt(last, stand, ons), more, memory: stand.epoch };
  }

  fragment(on) {
    const { seq, state } = this.things.get(on);
    const own = this.actsOf(on);
    const seqs = own.map((one, at) => one.seq - (own[at - 1]?.seq ?? 0));
    const told = Object.fromEntries(own.filter((one) => one.by).map((one) => [one.act.id, one.by]));
    const fragment = { on, seq, state, acts: own.map((one) => one.act), seqs };
    return Object.keys(told).length ? { ...fragment, told_by: told } : fragment;
  }

  actAt(cursor, stand, ons) {
    if (cursor === stand.seq) return stand.last;
    const last = ons.length ? this.actsOf(ons.at(-1)) : [];
    return last.find((one) => one.seq === cursor)?.act.id ?? "";
  }

  /** A new epoch where the phone proves that the server was put back behind its back (timers/log/epoch.py). */
  checked(stand, { cursor, epoch, act }, before, phone) {
    if (epoch !== stand.epoch || !envelope.isId(act)) return stand;
    if (cursor <= before && ["", act].includes(stand.atCursor)) return stand;
    const causes = (this.causes.get(phone) ?? 0) + 1;
    this.causes.set(phone, causes);
    if (causes > MOST_EPOCHS) return { ...stand, epoch: this.uuid() };
    if (this.epoch === stand.epoch) this.epoch = this.uuid();
    return { ...stand, epoch: this.epoch };
  }
}

/** An act without what a phone may have put right since it posted it first (timers/log/told_again.py). */
const untimed = ({ at, at_ms, ask_at, until_ms, ...act }) => act;

/** Whether two JSON values are the same, whatever the order of their keys. */
export function alike(one, two) {
  if (one === two) return true;
  if (typeof one !== "object" || typeof two !== "object" || !one || !two) return false;
  const [keys, others] = [Object.keys(one), Object.keys(two)];
  return keys.length === others.length && keys.every((key) => Object.hasOwn(two, key) && alike(one[key], two[key]));
}
