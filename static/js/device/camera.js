// The camera at the back of the phone, shown in a video element.
const WORDS = {
  NotAllowedError: "The browser may not use the camera here. Allow it in the browser's settings for this address",
  NotFoundError: "This phone has no camera that the browser can use",
  OverconstrainedError: "This phone has no camera that the browser can use",
  NotReadableError: "Another app holds the camera. Close it and try again",
};

export const can = () => Boolean(navigator.mediaDevices?.getUserMedia);

/** Throws an Error in the person's words. */
export async function open(video) {
  try {
    if (!can()) throw new DOMException("none", "NotFoundError");
    const size = { width: { ideal: 1280 }, height: { ideal: 720 } };
    video.srcObject = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: "environment" }, ...size } });
    await video.play();
  } catch (why) {
    close(video);
    throw new Error(`${WORDS[why.name] || "The camera did not start"}. A photo of the code does as well.`);
  }
}

export const isOpen = (video) => Boolean(video.srcObject);

export function close(video) {
  for (const track of video.srcObject?.getTracks() || []) track.stop();
  video.srcObject = null;
}
