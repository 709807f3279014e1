// The language of this phone: the shell is kept once for each, so that the change needs no signal.
import { t } from "../core/base/translate.js";

const COOKIE = "sandtime_tongue";
const AGE_S = 400 * 86_400;

export const locale = () => document.documentElement.lang;

/** The shell in another language becomes the one this phone starts with; what is typed on the open screen is not
 *  kept. */
export async function read(wanted) {
  const shell = await fetched(wanted);
  if (!shell) throw new Error(t("This tongue is not on this phone yet, and there is no signal. Nothing was changed."));
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `${COOKIE}=${wanted}; path=/; max-age=${AGE_S}; SameSite=Lax${secure}`;
  for (const name of await names()) await (await caches.open(name)).put("/", shell.clone());
  location.reload();
}

/** A new version may have come in the language in use when it was fetched: put right at once. */
export async function settle() {
  const chosen = document.cookie.match(`(?:^|; )${COOKIE}=(\\w+)`)?.[1];
  const had = sessionStorage.getItem("tongue");
  if (!chosen || chosen === locale() || had === chosen) return;
  sessionStorage.setItem("tongue", chosen); // once: a server may no longer have that language
  await read(chosen).catch(() => {});
}

async function fetched(wanted) {
  const address = `/?tongue=${wanted}`;
  const answer = (await globalThis.caches?.match(address)) || (await fetch(address).catch(() => null));
  return answer?.ok ? answer : null;
}

const names = async () =>
  globalThis.caches ? (await caches.keys()).filter((name) => name.startsWith("sandtime-")) : [];
