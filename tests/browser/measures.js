// What is measured on a screen as it stands: whether it runs off the side, what is too small for a glove, what is cut
// off, and how text stands out from what is behind it.  An expression: gives one function for each.
(() => {
  const LINES = "button, a[href], input, select, textarea, summary";
  const shown = (node) => node.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const seen = (selector) => [...roots().flatMap((root) => [...root.querySelectorAll(selector)])].filter(shown);
  const named = (node) => `${node.tagName.toLowerCase()}${node.id && `#${node.id}`}.${node.className}: ${node.textContent.trim().slice(0, 30)}`;
  /** What can be used now: the open sheet, or the page. */
  const roots = () => [[...document.querySelectorAll("dialog:modal")].at(-1) ?? document.body];
  const ownText = (node) => [...node.childNodes].some((one) => one.nodeType === 3 && one.textContent.trim());

  function sideways() {
    const glass = Math.round(visualViewport.width * visualViewport.scale); // a phone widens what is too wide, and innerWidth with it
    const wide = [document.documentElement, ...document.querySelectorAll("dialog:modal")];
    return wide.filter((one) => one.scrollWidth > Math.min(innerWidth, glass)).map((one) => `${named(one)} is ${one.scrollWidth} wide`);
  }

  /** Targets under 48 px, main buttons under 72 px but for long lists (.tight); half a px is left for rounding. */
  function small() {
    const least = (node) => (node.matches(".deed, .stack:not(.tight) button") ? 71.5 : 47.5);
    return seen(LINES)
      .map((node) => [node, node.getBoundingClientRect()])
      .filter(([, box]) => box.width && (box.height < 47.5 || box.width < 47.5))
      .concat(seen(".deed, .stack button").map((node) => [node, node.getBoundingClientRect()]).filter(([node, box]) => box.height < least(node)))
      .map(([node, box]) => `${named(node)}: ${Math.round(box.width)} x ${Math.round(box.height)}`);
  }

  /** Text that is cut off at a side of its own box, or lies outside of the screen. */
  function clipped() {
    const hides = (node) => !["visible"].includes(getComputedStyle(node).overflowX);
    const cut = (node) => (hides(node) && !node.matches("textarea, input, pre, html, body, dialog") && (node.scrollWidth > node.clientWidth + 1 || (getComputedStyle(node).overflowY === "hidden" && node.scrollHeight > node.clientHeight + 1)));
    const unseen = (node) => getComputedStyle(node).clipPath === "inset(50%)";
    const out = (node) => { const box = node.getBoundingClientRect(); return box.width > 1 && (box.right > innerWidth + 1 || box.left < -1); };
    const spills = (node) => node.matches("button, a, .digits, .left") && node.scrollWidth > node.clientWidth + 1 && getComputedStyle(node).display !== "inline";
    return seen("*").filter((node) => !node.closest("svg, .strip") && !unseen(node) && ((ownText(node) && (out(node) || spills(node))) || (cut(node) && node.textContent.trim()))).map(named);
  }

  /** Words, no longer than most, that a line's end breaks in two; a soft hyphen is a place to break. */
  function broken() {
    const range = document.createRange();
    const isBroken = (text, word) => {
      range.setStart(text, word.index + (text.data[word.index - 1] === "\u00ad")); // else the hyphen counts with it
      range.setEnd(text, word.index + word[0].length);
      return new Set([...range.getClientRects()].filter((box) => box.width > 1).map((box) => Math.round(box.top))).size > 1;
    };
    const texts = seen("button, a, h1, h2, h3, label, summary, output, b, button span, .left").flatMap((node) => [...node.childNodes].filter((one) => one.nodeType === 3));
    return texts.flatMap((text) => [...text.data.matchAll(/[^\s\u00ad-]{2,14}/g)].filter((word) => isBroken(text, word)).map(([word]) => `${named(text.parentElement)} breaks ${word}`));
  }

  const canvas = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });

  /** A colour as the browser draws it: [red, green, blue, alpha], 0 to 255. */
  function drawn(colour) {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  }

  /** WCAG 2.2, "relative luminance". */
  function luminance(colour) {
    const [red, green, blue] = drawn(colour).map((part) => part / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  }

  function behind(node) {
    for (let at = node; at; at = at.parentElement) {
      const { backgroundColor } = getComputedStyle(at);
      if (drawn(backgroundColor)[3] === 255) return backgroundColor;
    }
    return "white";
  }

  /** WCAG 2.2, "contrast ratio". */
  function contrast(node) {
    const [one, two] = [getComputedStyle(node).color, behind(node)].map(luminance);
    return (Math.max(one, two) + 0.05) / (Math.min(one, two) + 0.05);
  }

  /** Text under 7:1, digits under 12:1. */
  function faint() {
    const least = (node) => (node.matches(".left, .digits, .part b") ? 12 : 7);
    return seen("*")
      .filter((node) => !node.closest("svg") && (ownText(node) || node.matches("input, select, textarea")))
      .filter((node) => contrast(node) < least(node))
      .map((node) => `${named(node)}: ${contrast(node).toFixed(2)}`);
  }

  /** What can be used but is hidden by the bar or by what rings, wherever it is scrolled to; WCAG 2.2, 2.4.11. */
  function covered() {
    const at = (node) => { const box = node.getBoundingClientRect(); return document.elementFromPoint(box.x + box.width / 2, box.y + Math.min(box.height / 2, 24)); };
    const reached = (node) => ["nearest", "center"].some((block) => { // a long list moves on as its rows are drawn
      node.scrollIntoView({ block });
      const hit = at(node);
      return hit && (node.contains(hit) || hit.contains(node) || hit.closest("label")?.control === node);
    });
    const lost = seen(LINES).filter((node) => !reached(node)).map((node) => `${named(node)} under ${at(node) ? named(at(node)) : "nothing"}`);
    scrollTo(0, 0);
    return lost;
  }

  /** What acts but cannot be come to by the Tab key. */
  const unreached = () => seen("[data-do], [data-change]").filter((node) => node.tabIndex !== 0 || !node.matches(LINES)).map(named);

  const held = new CSSStyleSheet();
  held.replaceSync(".card { content-visibility: visible !important; }"); // else what is not drawn yet is not measured
  document.adoptedStyleSheets = [held];
  window.measures = { sideways, small, clipped, broken, faint, covered, unreached };
})()
