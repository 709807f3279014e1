// htmx comes after the floor, since it takes longer to read than all that paints the first cards.
const { htmx: address } = document.getElementById("sync").dataset;
let loading = null;

/** htmx, loaded once; null where it did not come: it is asked for again the next time. */
export function load() {
  if (globalThis.htmx) return Promise.resolve(globalThis.htmx);
  loading ||= fetchScript().then((htmx) => {
    if (!htmx) loading = null;
    return htmx;
  });
  return loading;
}

/** Markup that came into the page after htmx had read it: its hx- attributes count from now on.  Whether they do. */
export async function process(root) {
  const htmx = await load();
  htmx?.process(root);
  return Boolean(htmx);
}

async function fetchScript() {
  if (document.readyState !== "complete") await new Promise((go) => addEventListener("load", go, { once: true }));
  const script = document.createElement("script");
  script.src = address;
  const settled = new Promise((go) => (script.onload = script.onerror = go));
  document.head.append(script);
  await settled;
  return globalThis.htmx ?? null;
}
