// The few elements of the page that keep and carry, and htmx as it plays them: it posts what #sync is to post and puts
// the answer into #landing.
import { IDLE } from "./loop.js";

export class Element {
  dataset = {};
  listeners = {};
  textContent = "";

  addEventListener(name, listener) {
    (this.listeners[name] ??= []).push(listener);
  }

  dispatchEvent(event) {
    for (const listener of this.listeners[event.type] ?? []) listener(event);
  }

  fire(type, detail) {
    this.dispatchEvent({ type, detail });
  }

  getAttribute() {
    return null;
  }

  setAttribute() {}
  removeAttribute() {}
  append() {}
  replaceChildren() {
    this.cursor = this.verdicts = this.notes = null;
    this.sections = [];
  }

  querySelectorAll() {
    return this.sections ?? [];
  }
}

/** What a script finds by a selector or an id: its data and its text. */
export const spot = (dataset, value) => ({ dataset, textContent: JSON.stringify(value), querySelector: () => null });

export class Htmx {
  constructor(page, { sync, landing }) {
    Object.assign(this, { page, sync, landing });
    landing.replaceChildren();
    sync.addEventListener("sandtime:sync", () => this.post());
  }

  post() {
    const parameters = new Map();
    this.sync.fire("htmx:configRequest", { parameters });
    const xhr = new Request(this.page, (answer) => this.answered(xhr, answer));
    this.sync.fire("htmx:beforeSend", { xhr });
    xhr.send(Object.fromEntries(parameters));
  }

  answered(xhr, { status, answer = null, words = "", headers = {} }) {
    Object.assign(xhr, { status, responseText: words, headers });
    if (status === 200) this.land(answer);
    xhr.fire("loadend");
    this.sync.fire("htmx:afterRequest", { xhr });
  }

  /** The answer as templates/timers/_answer.html writes it; null is a page from elsewhere, as a hotel's network gives. */
  land(answer) {
    this.landing.replaceChildren();
    if (!answer) return;
    const { fragments, verdicts, cursor, cursor_act: act, more, now, memory, shop, phone } = answer;
    const numbers = { cursor: `${cursor}`, act, now: `${now}`, more: more ? "yes" : "no", memory, seen: "0", unused: "no" };
    const about = { shop, name: "Any garage", zone: "UTC", phone, role: "painter", key: "k", sign: "s", phrase: "no" };
    this.landing.cursor = spot({ ...numbers, ...about });
    this.landing.verdicts = spot({}, verdicts);
    this.landing.sections = fragments.map(({ on, seq, ...kept }) => {
      const section = spot({ fragment: on, seq: `${seq}` });
      section.querySelector = (what) => (what === "script" ? spot({}, kept) : null);
      return section;
    });
  }
}

/** An XMLHttpRequest of htmx: sent once, answered, failed or given up. */
class Request {
  status = 0;
  responseText = "";
  headers = {};
  listeners = {};
  isOver = false;
  upload = { addEventListener() {} };

  constructor(page, done) {
    Object.assign(this, { page, done });
  }

  addEventListener(name, listener) {
    (this.listeners[name] ??= []).push(listener);
  }

  fire(name) {
    for (const listener of this.listeners[name] ?? []) listener();
  }

  getResponseHeader = (name) => this.headers[name] ?? null;

  send(body) {
    this.page.uses();
    this.page.world.network.post(this.page, body, (answer) => this.over(answer));
  }

  abort() {
    this.over({ status: 0 });
  }

  over(answer) {
    if (this.isOver || this.page.dead) return IDLE;
    this.isOver = true;
    return this.done(answer);
  }
}
