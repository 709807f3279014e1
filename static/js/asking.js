// A question to the server beside the road of taps: its answer, or an error in the server's own words.

import { t } from "./core/tongue.js";

/** The server did not answer at all. */
export class NoSignal extends Error {}

/** What an address answers; with `said` it is posted. `lost` ends the sentence that says there is no signal. */
export async function asked(path, said, lost = "") {
  const post = said && { method: "POST", headers: { "X-Sandtime": "1" }, body: new URLSearchParams(said) };
  const answer = await fetch(path, { cache: "no-store", ...post }).catch(() => null);
  if (!answer) throw new NoSignal(`${navigator.onLine ? t("The server is not reached: no signal, or it is off.") : t("No signal: the server did not answer.")}${lost && ` ${lost}`}`);
  if (!answer.ok) throw new Error(await answer.text());
  return answer.json();
}
