// How the connection to the server is: one mood, changed by what talks to the server, read by what is said of it.

const signal = { mood: navigator.onLine ? "unknown" : "away", ended: false };

/** "unknown", "asking", "heard", "away", "unreached", "silent", "stranger", "left", "closed", "busy" or "broken". */
export const mood = () => signal.mood;

/** Whether a keeper has ended this phone, where the server does not know it. */
export const isEnded = () => signal.ended;

/** What was last seen of the server: {mood, ended}, or one of the two. */
export const change = (seen) => void Object.assign(signal, seen);

/** The mood without an answer: no network here; or the call was taken and nothing said; or nobody took it. */
export const unanswered = (wasTaken) => (navigator.onLine ? (wasTaken ? "silent" : "unreached") : "away");
