// Seeded random taps on whatever can be tapped now; answers with how often each deed was done.
async ({ seed, taps }) => {
  const NAMES = ["Left door", "Hood 🚗", "كبوت أمامي", "<b>roof</b>", "__proto__", "Tailgate ".repeat(20).trim()];
  const done = {};
  let state = seed;
  const chance = () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const one = (list) => list[Math.floor(chance() * list.length)];
  const rest = (ms) => new Promise((go) => setTimeout(go, ms));
  const seen = (selector) => [...document.querySelectorAll(selector)].filter((node) => !node.closest("[hidden]"));
  const click = async (node) => {
    if (!node) return;
    if (node.dataset.do) done[node.dataset.do] = (done[node.dataset.do] || 0) + 1;
    node.click();
    await rest(15);
  };
  const open = () => document.querySelector("dialog[open]");

  async function tap() {
    const choice = chance();
    if (choice < (seen("#floor .card").length < 4 ? 0.1 : 0.01)) {
      await click(one(seen("[data-do=add]")));
      document.getElementById("add-name").value = one(NAMES);
      await click(one(seen("#add-routes button")));
      await click(one(seen("#ground-choices button")));
    } else if (choice < 0.2) {
      await click(one(seen("[data-do=air]")));
      for (let turn = Math.floor(chance() * 9); turn > 0; turn -= 1) await click(one(seen("#dialog-air [data-do=air-dial]")));
      await click(one(seen("[data-do=air-tell]")));
    } else if (choice < 0.28) await click(one(seen("[data-do=undo-last]")));
    else await deed(one(seen("#floor .card .deeds button")));
    if (open()) await click(open().querySelector("button[value=cancel]"));
  }

  async function deed(button) {
    if (!button || (button.dataset.do === "away" && chance() < 0.7)) return;
    await click(button);
    if (button.dataset.do === "lay") await click(one(seen("#lay-offers button")));
    if (button.dataset.do !== "back") return;
    await click(one(seen("#back-whys button")));
    await click(one(seen("#back-plan button, #back-steps button")));
  }

  for (let turn = 0; turn < taps; turn += 1) {
    await tap();
    await rest(chance() * 80);
  }
  // On a busy machine taps still wait for their turn and may open a sheet: the end is when none has opened for a second.
  for (let calm = 0; calm < 20; calm += 1) {
    if (open()) calm = 0;
    open()?.querySelector("button[value=cancel]").click();
    await rest(50);
  }
  return done;
};
