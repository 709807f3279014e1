// Twin of timers/core/files/ics.py: the rules and their sources are explained there.

import { Refused, number, text } from '../base/check.js';
import { later, t } from '../base/translate.js';
import { SECOND_MS } from '../base/units.js';

export const MOST = 500;
export const MADE_BY = '-//Sandtime//Shop clock//EN';
export const LATEST_MS = 253_402_300_799_000;
export const HIGHEST = 2_147_483_647;
export const LONGEST_BEFORE_MIN = 10_080;
export const OCTETS = 75;
const SAID = ['begins_ms', 'until_ms', 'summary', 'description', 'alarm_min_before', 'cancelled'];
export const FORBIDDEN = /[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]/gu;
export const LINE_END = /\r\n?|\n/g;
export const MARKS = /[\\;,]/g;
export const MOVED = later('The clocks have moved since this file: take it again.');
export const MORE = later('There is more to ring than in this file: take it again.');

export function calendar(events, nowMs, name) {
  if (!events.length || events.length > MOST) throw new Refused(howMany(events.length));
  number(t('The moment of the file'), nowMs, 0, LATEST_MS);
  const head = ['VERSION:2.0', `PRODID:${MADE_BY}`, 'CALSCALE:GREGORIAN', 'METHOD:PUBLISH', `NAME:${escaped(name)}`];
  const made = `DTSTAMP:${stamp(Math.floor(nowMs / SECOND_MS))}`;
  const lines = ['BEGIN:VCALENDAR', ...head, ...events.flatMap((event) => eventLines(event, made)), 'END:VCALENDAR'];
  return lines.map((line) => `${folded(line)}\r\n`).join('');
}

export function renewed(events, handed, nowMs, sequence) {
  const last = new Map(handed.map((event) => [event.uid, event]));
  const standing = new Set(events.map((event) => event.uid));
  const gone = handed.filter((event) => !standing.has(event.uid) && event.last_ms > nowMs);
  const marked = (some, cancelled) => some.map((event) => ({ ...event, cancelled }));
  const fresh = [...marked(events, false), ...marked(gone, true)];
  return fresh.map((event) => ({ ...event, ...counted(event, last.get(event.uid), sequence) }));
}

export function since(events, handed, nowMs) {
  const standing = new Map(events.map((event) => [event.uid, event.begins_ms]));
  const held = new Map(handed.filter((event) => !event.cancelled).map((event) => [event.uid, event.begins_ms]));
  const apart = (ones, others) => [...ones].some(([uid, begins]) => begins > nowMs && others.get(uid) !== begins);
  if (apart(held, standing)) return t(MOVED);
  return apart(standing, held) ? t(MORE) : '';
}

export function escaped(said) {
  const plain = said.replace(LINE_END, '\n').replace(FORBIDDEN, '');
  return plain.replace(MARKS, (mark) => `\\${mark}`).replaceAll('\n', '\\n');
}

export function folded(line) {
  const pieces = [''];
  let room = OCTETS;
  for (const sign of line) {
    const size = octets(sign);
    if (size > room) {
      pieces.push(' ');
      room = OCTETS - 1;
    }
    pieces[pieces.length - 1] += sign;
    room -= size;
  }
  return pieces.join('\r\n');
}

export const stamp = (second) => new Date(second * SECOND_MS).toISOString().replace(/[-:]|\.000/g, '');

export function octets(sign) {
  const point = sign.codePointAt(0);
  return point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4;
}

function howMany(count) {
  if (!count) return t('Nothing will ring, so there is nothing for a calendar. No file was made.');
  const many = { most: MOST, count };
  return t('A calendar file takes {most} rings (there are {count}). Take one panel at a time. No file was made.', many);
}

function counted(event, before, sequence) {
  if (!before) return { sequence, last_ms: event.begins_ms };
  const changed = SAID.some((key) => event[key] !== before[key]);
  const risen = Math.max(sequence, before.sequence + (changed ? 1 : 0));
  return { sequence: risen, last_ms: Math.max(event.begins_ms, before.last_ms) };
}

function eventLines(event, made) {
  check(event);
  const begins = Math.ceil(event.begins_ms / SECOND_MS);
  const until = event.until_ms === null ? begins : Math.floor(event.until_ms / SECOND_MS);
  const { cancelled = false, alarm_min_before: before } = event;
  return [
    'BEGIN:VEVENT',
    `UID:${escaped(event.uid)}`,
    made,
    `SEQUENCE:${event.sequence}`,
    `DTSTART:${stamp(begins)}`,
    ...(until > begins ? [`DTEND:${stamp(until)}`] : []),
    `SUMMARY:${escaped(event.summary)}`,
    `DESCRIPTION:${escaped(event.description)}`,
    `STATUS:${cancelled ? 'CANCELLED' : 'CONFIRMED'}`,
    'TRANSP:TRANSPARENT',
    ...(cancelled || before === null ? [] : alarm(event)),
    'END:VEVENT',
  ];
}

function alarm({ alarm_min_before: before, summary }) {
  const trigger = before ? `-PT${before}M` : 'PT0M';
  return ['BEGIN:VALARM', 'ACTION:DISPLAY', `DESCRIPTION:${escaped(summary)}`, `TRIGGER:${trigger}`, 'END:VALARM'];
}

function check(event) {
  text(t('The name of a ring'), event.uid, 1, 200);
  number(t('The count of changes'), event.sequence, 0, HIGHEST);
  number(t('The moment of a ring'), event.begins_ms, 0, LATEST_MS);
  if (event.until_ms !== null) number(t('The end of a ring'), event.until_ms, 0, LATEST_MS);
  if (event.alarm_min_before !== null) {
    number(t('The alarm before a ring'), event.alarm_min_before, 0, LONGEST_BEFORE_MIN, 1, t('minutes'));
  }
}
