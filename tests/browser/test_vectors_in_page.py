"""The shared vectors against the JavaScript twins, in a real browser."""

import json
import re

import pytest

from tests.test_vectors import cases, parameters, same

pytestmark = pytest.mark.browser

ASK = """
async ([module, fn, names, args]) => {
  const rule = (await import(`/js/core/${module}.js`))[fn];
  if (typeof rule !== 'function') return { text: `no ${fn} in ${module}.js` };
  const before = JSON.stringify(args);
  const east = (held) => (atMs) => Number.isInteger(held) ? held : held.filter(([begin]) => begin <= atMs).at(-1)[1];
  const zone = (held) => Object.assign(east(held.east ?? held), { hours: held.hours ?? '24' });
  const special = { zone, random: (bytes) => Uint8Array.from(bytes) };
  const given = args.map((arg, at) => (names[at] in special ? special[names[at]](arg) : arg));
  let answer;
  try {
    answer = rule(...given);
  } catch (refused) {
    answer = { refused: refused.constructor.name };
  }
  if (answer instanceof Set) answer = [...answer].sort();
  const seen = (key, one) => (typeof one === 'number' && !Number.isFinite(one) ? `${one}` : one);
  const text = JSON.stringify(answer === undefined ? null : answer, seen);
  return { text, untouched: JSON.stringify(args) === before };
}
"""


@pytest.mark.parametrize(("module", "case", "tolerance"), cases())
def test_the_twin_answers_as_the_vector_says(core_page, module, case, tolerance):
    fn = re.sub(r"_(\w)", lambda found: found[1].upper(), case["fn"])
    said = core_page.evaluate(ASK, [module, fn, parameters(module, case["fn"]), case["args"]])
    assert same(loaded(said["text"]), case["expect"], tolerance), f"{case['says']}: {said['text']}"
    assert said["untouched"], "a rule leaves what it was given as it was"


def loaded(text):
    """What a page answered, as Python sees it; words of our own when the twin is missing."""
    try:
        return json.loads(text)
    except ValueError:
        return {"missing": text}
