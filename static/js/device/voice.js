// The phone's own voice, where it has one.
export const can = () => "speechSynthesis" in globalThis && "SpeechSynthesisUtterance" in globalThis;

export function speak(words) {
  if (!can()) return;
  const utterance = new SpeechSynthesisUtterance(words);
  utterance.lang = document.documentElement.lang;
  utterance.rate = 0.95;
  speechSynthesis.speak(utterance);
}

export const hush = () => can() && speechSynthesis.cancel();
