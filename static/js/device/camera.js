// The camera at the back of the phone, shown in a video element.
import { later, t } from "../core/base/translate.js";

const WORDS = {
  NotAllowedError: later(
    "The browser may not use the camera here. Allow it in the browser's settings for this address.",
  ),
  NotFoundError: later("This phone has no camera that the browser can use."),
  OverconstrainedError: later("This phone has no camera that the browser can use."),
  NotReadableError: later("Another app holds the camera. Close it and try again."),
};
const ELSE = later("The camera did not start.");

export const can = () => Boolean(navigator.mediaDevices?.getUserMedia);

/** Throws an Error in the person's words. */
export async function open(video) {
  try {
    if (!can()) throw new DOMException("none", "NotFoundError");
    const size = { width: { ideal: 1280 }, height: { ideal: 720 } };
    video.srcObject = await navigator.mediaDevices.getUserMedia({
      audio: false,
      video: { facingMode: { ideal: "environment" }, ...size },
    });
    await video.play();
  } catch (why) {
    close(video);
    throw new Error(`${t(WORDS[why.name] || ELSE)} ${t("A photo of the code does as well.")}`);
  }
}

export const isOpen = (video) => Boolean(video.srcObject);

export function close(video) {
  for (const track of video.srcObject?.getTracks() || []) track.stop();
  video.srcObject = null;
}
