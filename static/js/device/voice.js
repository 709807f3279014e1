// The phone's own voice, where it has one.
export const can = () => "speechSynthesis" in globalThis && "SpeechSynthesisUtterance" in globalThis;

export function speak(words) {
  if (!can()) return;
  const said = new SpeechSynthesisUtterance(words);
  said.lang = document.documentElement.lang;
  said.rate = 0.95;
  speechSynthesis.speak(said);
}

export const hush = () => can() && speechSynthesis.cancel();
