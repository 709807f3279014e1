// Words that stand outside of the made-up tongue's brackets, on the page as it stands, seen or not.  An expression.
(() => {
  const BLOCKS = "p, li, h1, h2, h3, button, a, label, option, summary, output, dt, dd, td, th, div, section, dialog, figcaption, header, time, legend";
  const SAID = ["aria-label", "placeholder", "title", "alt"];

  function bareWords(data, units) {
    const [known, short] = [[...data].sort((one, two) => two.length - one.length), new Set(units)];
    const found = [];
    const look = (text, depth, where) => {
      let outside = "";
      for (const sign of text) {
        if (sign === "⟦") depth += 1;
        else if (sign === "⟧") depth -= 1;
        else outside += depth > 0 ? " " : sign;
      }
      for (const one of known) outside = outside.replaceAll(one, " ");
      const words = (outside.match(/\p{L}[\p{L}\d_]*/gu) ?? []).filter((word) => !short.has(word));
      if (words.length) found.push(`${where}: ${words.join(" ")}`);
      return depth;
    };
    const nodes = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
    let [depth, block] = [0, null];
    for (let node = nodes.nextNode(); node; node = nodes.nextNode()) {
      if (node.nodeType === Node.ELEMENT_NODE) {
        for (const name of SAID) if (node.hasAttribute(name)) look(node.getAttribute(name), 0, `${name} of ${named(node)}`);
        continue;
      }
      const parent = node.parentElement;
      if (!node.data.trim() || parent.closest("script, style, svg, .data")) continue;
      const own = parent.closest(BLOCKS);
      if (own !== block) [depth, block] = [0, own];
      depth = look(node.data, depth, named(parent));
    }
    return found;
  }

  const named = (node) => `${node.tagName.toLowerCase()}${node.id && `#${node.id}`}${node.dataset.text ? `[${node.dataset.text}]` : ""} in ${node.closest("[id]")?.id}`;
  window.bareWords = bareWords;
})()
