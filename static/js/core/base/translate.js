// Twin of timers/core/base/translate.py: the rules are explained there.

const PLACE = /\{(\w+)\}/g;
const HINT = / \[\[[^]*\]\]$/;
let known = {}; // phrase -> what it is in the reader's tongue; of a phrase with a count [for one, for many]

export const t = (phrase, values = {}) => filled(known[phrase] || phrase, values);

export function tn(one, many, n, values = {}) {
  return filled((known[one] || [one, many])[n === 1 ? 0 : 1], { n, ...values });
}

export const later = (phrase) => phrase;

export const decimal = (value) => value.replace('.', t('1.5')[1]);

export const speak = (phrases) => (known = phrases);

function filled(said, values) {
  const bare = said.includes('[[') ? said.replace(HINT, '') : said;
  return bare.includes('{') ? bare.replace(PLACE, (place, name) => String(name in values ? values[name] : place)) : bare;
}
