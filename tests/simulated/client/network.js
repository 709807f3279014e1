// The road between the phones and the server: what is asked may be lost, doubled, late, answered by somebody else.
const FAILS = { status: 0 };

export const GOOD = { isOnLine: true, fates: { heard: 1 }, latency: [5, 300], scriptsFail: 0, streams: 1 };

export class Network {
  streams = new Set();
  isServerUp = true;

  constructor(world) {
    Object.assign(this, { world, loop: world.loop, chance: world.chance, saw: world.saw });
  }

  /** What htmx posts; `done` hears of it at most once. */
  post(page, body, done) {
    const { road } = page.phone;
    const fate = road.isOnLine ? this.chance.weighted(road.fates) : "no signal";
    this.saw(fate);
    const away = this.span(road);
    const arrive = () => this.receive(page.phone, body);
    const back = (answer) => page.later(this.span(road), () => done(answer));
    const gone = () => page.later(this.chance.one([20, 900, 6_000, 90_000]), () => done(FAILS));
    const arrives = (then) => this.loop.after(away, () => then(arrive()));
    const late = () => this.loop.after(this.chance.between(1_000, 90_000), arrive);
    const fates = {
      heard: () => arrives(back),
      slow: () => arrives((answer) => page.later(this.chance.between(8_000, 70_000), () => done(answer))),
      "no signal": gone,
      lost: gone,
      "answer lost": () => arrives(gone),
      repeated: () => {
        arrives(back);
        this.loop.after(away + this.chance.between(1, 20_000), arrive);
      },
      late: () => {
        gone();
        late();
      },
      broken: () => back({ status: this.chance.one([500, 502, 503]), words: "broken" }),
      "broken after": () => arrives(() => back({ status: 502, words: "broken" })),
      busy: () => back({ status: 429, words: "busy" }),
      elsewhere: () => back({ status: 200, answer: null }),
    };
    fates[fate]();
  }

  span({ latency: [low, high] }) {
    return this.chance.is(0.05) ? this.chance.between(high, high * 8) : this.chance.between(low, high);
  }

  /** What the server makes of a post. */
  receive(phone, body) {
    if (!this.isServerUp) return { status: 502, words: "off" };
    if (!phone.cookie) return { status: 401, words: "who?", headers: { "Sandtime-Phone": "none" } };
    const asked = { ...body, acts: JSON.parse(body.acts) };
    const before = this.world.server.seq;
    const { status, answer, words } = this.world.server.exchange(phone.id, asked, this.world.now());
    this.world.noted({ phone: phone.id, asked, now: this.world.now(), status, answer });
    if (this.world.server.seq !== before) this.moved();
    return { status, words, answer: answer && { ...answer, shop: "shop", phone: phone.id } };
  }

  fetch(page, path, { signal, headers = {} } = {}) {
    page.uses();
    const { road } = page.phone;
    return new Promise((go, no) => {
      const aborted = () => no(new DOMException("aborted", "AbortError"));
      signal?.addEventListener("abort", () => !page.dead && aborted());
      const fate = road.isOnLine ? this.chance.weighted(road.fates) : "no signal";
      if (["no signal", "lost", "answer lost", "late", "slow"].includes(fate) || !this.isServerUp) {
        if (this.chance.is(0.7)) page.later(this.chance.one([20, 900, 6_000]), () => no(new TypeError("network")));
        else if (!signal) page.later(30_000, () => no(new TypeError("network")));
        return;
      }
      this.loop.after(this.span(road), () => {
        const answer = this.plain(page.phone, path, headers);
        page.later(this.span(road), () => go(answer));
      });
    });
  }

  /** Addresses beside /sync. */
  plain(phone, path) {
    const answer = (status, value, headers = {}) => ({
      status,
      ok: status === 200,
      text: async () => String(value),
      json: async () => value,
      headers: { get: (name) => headers[name] ?? null },
    });
    if (path === "/clock") return answer(200, this.world.now());
    if (path === "/begin") {
      phone.cookie = true;
      return answer(200, { phone: phone.id });
    }
    if (path === "/moved") return phone.cookie ? answer(200, { seq: this.world.server.seq, role: "painter" }) : answer(401, "");
    throw new Error(`no such address: ${path}`);
  }

  open(page, stream) {
    const { road } = page.phone;
    page.streams.add(stream);
    if (!road.isOnLine || !this.isServerUp || !page.phone.cookie) {
      page.later(this.span(road), () => !stream.isClosed && stream.listeners.error?.({}));
      return;
    }
    if (!this.chance.is(road.streams)) return; // something on the way holds it back
    this.streams.add({ page, stream });
    this.tell(page, stream);
  }

  tell(page, stream) {
    page.later(this.span(page.phone.road), () => {
      if (!stream.isClosed) stream.listeners.moved?.({ data: `${this.world.server.seq}` });
    });
  }

  moved() {
    for (const one of this.streams) {
      if (one.stream.isClosed || one.page.dead) this.streams.delete(one);
      else if (one.page.phone.road.isOnLine) this.tell(one.page, one.stream);
    }
  }

  /** The streams of a phone break: its road changed. */
  cut(phone) {
    for (const { page, stream } of this.streams)
      if (page.phone === phone && !stream.isClosed)
        page.later(50, () => !stream.isClosed && stream.listeners.error?.({}));
  }
}
