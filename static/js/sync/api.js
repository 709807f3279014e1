// A request to the server beside the posting of taps: its answer, or an error in the server's own words.

import { t } from "../core/base/translate.js";

/** The server did not answer at all. */
export class NoSignal extends Error {}

/** That the server did not answer, and what it means. */
export const noAnswer = (lost) =>
  `${navigator.onLine ? t("The server is not reached: no signal, or it is off.") : t("No signal: the server did not answer.")} ${lost}`.trim();

/** What an address answers; with `said` it is posted. `lost` follows on the sentence that says there is none. */
export async function request(path, fields, lost = "") {
  const post = fields && { method: "POST", headers: { "X-Sandtime": "1" }, body: new URLSearchParams(fields) };
  const answer = await fetch(path, { cache: "no-store", ...post }).catch(() => null);
  if (!answer) throw new NoSignal(noAnswer(lost));
  if (!answer.ok) throw new Error(await answer.text());
  return answer.json();
}
