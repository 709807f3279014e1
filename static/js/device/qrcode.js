// A text as a picture for a camera: a QR code (ISO/IEC 18004), its smallest at level M.
const QUIET = 4; // light modules around it, as the standard wants
let maker = null;

/** The code of a text, at most of a version (1 to 40). */
export async function coded(text, maxVersion = 40) {
  maker ||= await import("/static/vendor/lean-qr.mjs");
  return maker.generate(text, { minCorrectionLevel: maker.correction.M, maxVersion });
}

/** Draw a text into an svg element, dark on light in every theme; resolves when it stands. */
export async function draw(svg, text) {
  const code = await coded(text);
  const side = code.size + 2 * QUIET;
  svg.setAttribute("viewBox", `${-QUIET} ${-QUIET} ${side} ${side}`);
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", shape(code));
  svg.replaceChildren(path);
}

/** Each run of dark modules in a row as one box. */
function shape(code) {
  const boxes = [];
  for (let y = 0; y < code.size; y += 1) {
    for (let x = 0, run = 0; x < code.size; x += run || 1) {
      for (run = 0; code.get(x + run, y); run += 1);
      if (run) boxes.push(`M${x} ${y}h${run}v1h-${run}z`);
    }
  }
  return boxes.join("");
}
