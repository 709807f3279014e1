// A sound file with a noise floor and tones at their moments: 8 bits, 8 kHz, one channel.  No twin: only a phone plays.
//
// Rule     noise of one step between 127 and 128, which no ear hears and no browser takes for silence; a tone of TONE_MS
//          at each mark, "opens" rising, "closes" falling; at most LONGEST_MS
// Unit     ms from the begin of the track; a sample is an eighth of a ms
// Holds    marks in any order; one that falls into the tone before it is lost in it
// Source   platform notes, "Ringing"; RIFF WAVE, PCM
// Vectors  none: tests/browser/test_ringing.py reads it with Python's wave module

export const RATE = 8_000;
export const TONE_MS = 20_000;
export const LONGEST_MS = 3_600_000;
const PER_MS = RATE / 1000;
const NOISE = noise(10 * RATE);
const HZ = { opens: [1600, 2000, 2667], closes: [2667, 2000, 1333] };
const NOTE = Math.floor(RATE * 0.15);
const TUNE = RATE; // a tune each second

/** The parts of the file, for a Blob; the noise is one part many times over. */
export function wav(marks, lengthMs) {
  const length = Math.min(Math.max(0, Math.floor(lengthMs)), LONGEST_MS) * PER_MS;
  const parts = [];
  let at = 0;
  for (const { at_ms: begin, tune } of marks.toSorted((one, two) => one.at_ms - two.at_ms)) {
    const from = Math.max(0, Math.floor(begin)) * PER_MS;
    if (from < at || from >= length) continue;
    parts.push(...quiet(from - at), tone(tune).subarray(0, length - from));
    at = Math.min(from + TONE_MS * PER_MS, length);
  }
  return [header(length), ...parts, ...quiet(length - at)];
}

/** The 44 bytes before the samples. */
export function header(samples) {
  const bytes = new DataView(new ArrayBuffer(44));
  const text = (at, word) => [...word].forEach((sign, nth) => bytes.setUint8(at + nth, sign.charCodeAt(0)));
  text(0, 'RIFF');
  bytes.setUint32(4, 36 + samples, true);
  text(8, 'WAVEfmt ');
  bytes.setUint32(16, 16, true);
  bytes.setUint16(20, 1, true);
  bytes.setUint16(22, 1, true);
  bytes.setUint32(24, RATE, true);
  bytes.setUint32(28, RATE, true);
  bytes.setUint16(32, 1, true);
  bytes.setUint16(34, 8, true);
  text(36, 'data');
  bytes.setUint32(40, samples, true);
  return new Uint8Array(bytes.buffer);
}

/** Full-scale square notes; 1333, 1600, 2000 and 2667 Hz fit whole samples. */
export function tone(tune) {
  const samples = new Uint8Array(TONE_MS * PER_MS).fill(128);
  for (let begin = 0; begin < samples.length; begin += TUNE) {
    HZ[tune].forEach((hz, nth) => {
      for (let at = 0; at < NOTE; at += 1) {
        const high = Math.floor((2 * at * hz) / RATE) % 2 === 0;
        samples[begin + nth * NOTE + at] = high ? 255 : 0;
      }
    });
  }
  return samples;
}

function quiet(samples) {
  const whole = Math.floor(samples / NOISE.length);
  return [...Array(whole).fill(NOISE), NOISE.subarray(0, samples - whole * NOISE.length)];
}

/** 127 and 128 by turns that repeat only after 65,535 samples (a shift register), so that it hums no note. */
function noise(samples) {
  let register = 0xace1;
  return Uint8Array.from({ length: samples }, () => {
    const bit = (register ^ (register >> 2) ^ (register >> 3) ^ (register >> 5)) & 1;
    register = (register >> 1) | (bit << 15);
    return 127 + bit;
  });
}
