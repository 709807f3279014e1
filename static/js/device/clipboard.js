// The clipboard: what is copied out of Sandtime.
import { t } from "../core/base/translate.js";

/** Whether the browser took a text into the clipboard. */
export const copied = async (text) =>
  Boolean(
    await navigator.clipboard?.writeText(text).then(
      () => true,
      () => false,
    ),
  );

/** Marks what a field holds and copies it; in words, whether the browser let that be. */
export async function copyOut(field) {
  field.focus();
  field.select();
  return (await copied(field.value)) ? t("Copied") : t("Marked: now copy it by hand");
}
