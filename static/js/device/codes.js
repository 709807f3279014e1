// Reads the text of a QR code in a picture: by the browser's own reader where it has one, else by a library loaded
// then.
const SIZES = [800, 1400, 500]; // of the longer side, in pixels: a sharp small picture is read best and soonest
let own = null;
let library = null;
let board = null;

/** The text of the code in a picture or in a running video, "" where none is seen; `address` is where the library
 *  lies. */
export async function textIn(picture, width, height, address, sizes = SIZES.length) {
  own ||= ownReader();
  const reader = await own;
  if (reader) {
    try {
      return (await reader.detect(picture))[0]?.rawValue || "";
    } catch {
      own = Promise.resolve(null); // the phone's service behind it is missing
    }
  }
  const read = await loaded(address);
  for (const size of SIZES.slice(0, sizes)) {
    const { data } = read(...pixels(picture, width, height, size), { inversionAttempts: "dontInvert" }) || {};
    if (data) return data;
  }
  return "";
}

async function ownReader() {
  const formats = await globalThis.BarcodeDetector?.getSupportedFormats().catch(() => []);
  return formats?.includes("qr_code") ? new globalThis.BarcodeDetector({ formats: ["qr_code"] }) : null;
}

async function loaded(address) {
  library ||= import(address).then(() => globalThis.jsQR);
  library.catch(() => (library = null));
  return library;
}

function pixels(picture, width, height, longest) {
  const scale = Math.min(1, longest / Math.max(width, height));
  const [wide, high] = [width, height].map((side) => Math.max(1, Math.round(side * scale)));
  board ||= document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  Object.assign(board.canvas, { width: wide, height: high });
  board.drawImage(picture, 0, 0, wide, high);
  return [board.getImageData(0, 0, wide, high).data, wide, high];
}
