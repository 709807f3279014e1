// Vibration, where the phone has it; a page that is hidden or untouched may not.
const PATTERNS = { opens: [300, 200, 300, 200, 300], closes: [700, 150, 700, 150, 700, 150, 700] };

export const can = () => "vibrate" in navigator;

export const shake = (tune) => navigator.vibrate?.(PATTERNS[tune]);

export const stop = () => navigator.vibrate?.(0);
