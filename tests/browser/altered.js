// Texts of codes altered in every way a bad camera or a bad mind alters them; how many were read all the same.
async ([texts, keys, count, seed]) => {
  const { $handover_codec: handing } = await import("/static/joined/handover.js");
  const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$-/.:";
  let state = seed;
  const random = (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
  const sign = () => SIGNS[random(SIGNS.length)];
  const put = (text, at, said, over = 0) => text.slice(0, at) + said + text.slice(at + over);
  const ways = [
    (text, at) => put(text, at, sign(), 1),
    (text, at) => put(put(text, at, sign(), 1), random(text.length), sign(), 1),
    (text, at) => put(text, at, "", 1),
    (text, at) => put(text, at, sign()),
    (text, at) => put(text, at, "", 3 * (1 + random(20))),
    (text, at) => put(text, 3 * Math.floor(at / 3), sign() + sign() + sign(), 3),
    (text, at) => put(text, at, text.slice(at, at + 3)),
    (text, at) => text.slice(0, at),
    (text, at) => text.slice(0, at) + texts[random(texts.length)].slice(at),
    (text, at) => put(text, at, String.fromCharCode(33 + random(200)), 1),
    (text, at) => put(text, at, [...text.slice(at, at + 9)].reverse().join(""), 9),
    (text) => text.toLowerCase(),
  ];
  const outcome = { tried: 0, read: [], odd: [] };
  for (const text of texts) await handing.read(text, keys); // each is good as it stands
  while (outcome.tried < count) {
    const text = texts[random(texts.length)];
    const altered = ways[outcome.tried % ways.length](text, random(text.length));
    outcome.tried += 1;
    if (texts.includes(altered)) continue; // now and then a change changes nothing
    await handing.read(altered, keys).then(
      () => outcome.read.push(altered),
      (why) => why instanceof handing.Refused || outcome.odd.push(String(why)),
    );
  }
  return outcome;
};
