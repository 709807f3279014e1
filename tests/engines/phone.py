"""A phone of a shop in whatever engine: taps by the pointer, and waits."""

import time

PATIENCE_S = 60
# Where the first seen element of a selector that holds a text can be hit; null while it cannot.
PLACE = """(selector, text) => {
  const shows = (one) => one.textContent.includes(text) && one.getClientRects().length > 0;
  const found = [...document.querySelectorAll(selector)].find(shows);
  found?.scrollIntoView({ block: 'center', behavior: 'instant' });
  const box = found?.getBoundingClientRect();
  const [x, y] = box ? [Math.round(box.x + box.width / 2), Math.round(box.y + box.height / 2)] : [];
  const hit = box && document.elementFromPoint(x, y);
  return hit && (found.contains(hit) || hit.contains(found)) ? [x, y] : null;
}"""
STILL = "() => new Promise((done) => setTimeout(() => requestAnimationFrame(() => done(true)), 150))"


class Phone:
    """One browser on the address of a server."""

    def __init__(self, engine, address: str):
        self.engine, self.address = engine, address
        self.name, self.run = engine.name, engine.run
        self.visit()

    def visit(self):
        """The page from its first moment, as after a tap on the icon."""
        self.engine.goto(self.address)
        self.until("() => document.body?.dataset.ready === 'yes'")

    def cold(self):
        """Closed and opened again."""
        self.engine.open()
        self.visit()

    def until(self, question: str, *args):
        """Waits until a question to the page is answered with yes; its last answer."""
        end = time.monotonic() + PATIENCE_S
        while not (answer := self.run(question, *args)):
            assert time.monotonic() < end, (self.name, question, args, self.run("() => document.body.innerText"))
            time.sleep(0.1)
        return answer

    def tap(self, selector: str, text: str = ""):
        self.until(PLACE, selector, text)
        self.run(STILL)
        self.engine.click(*self.until(PLACE, selector, text))

    def shows(self, selector: str, text: str):
        """Waits until an element that is seen says something."""
        self.until(
            """(selector, text) => [...document.querySelectorAll(selector)]
              .some((one) => one.textContent.includes(text) && one.getClientRects().length > 0)""",
            selector,
            text,
        )

    def fill(self, selector: str, value: str):
        self.run("(selector, value) => { document.querySelector(selector).value = value; }", selector, value)

    def heard(self):
        """Waits until every tap is at the server."""
        self.shows("#signal-words", "Saved.")

    def go(self, screen: str):
        self.tap(".bar a", screen)
        self.until("(id) => document.getElementById(id)?.hidden === false", f"screen-{screen.lower()}")

    def add_panel(self, name: str, route: str):
        self.tap("[data-do=add]")
        self.until("() => document.getElementById('dialog-add').open")
        self.fill("#add-name", name)
        self.tap("#add-routes button", route)
        self.shows("#floor .card h2", name)

    def card(self, name: str) -> dict:
        """A card's state and words."""
        return self.run(
            """(name) => { const card = [...document.querySelectorAll('#floor .card')]
              .find((one) => one.querySelector('h2').textContent.includes(name));
              const words = [...(card?.querySelectorAll('[data-text]') ?? [])];
              return card && { state: card.dataset.state,
                ...Object.fromEntries(words.map((one) => [one.dataset.text, one.textContent])) }; }""",
            name,
        )
