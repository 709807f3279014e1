"""The shared vectors against the JavaScript twins, in a real browser."""

import json
import re

import pytest

from tests.support import core_modules
from tests.timers.core.test_vectors import FILES, cases, check_each, parameters, same

pytestmark = pytest.mark.browser

ASK = """
async (asked) => {
  const answers = {};
  for (const [id, ...one] of asked) {
    try {
      answers[id] = await answered(one);
    } catch (why) {
      answers[id] = { text: `no answer: ${why}` };
    }
  }
  return answers;

  async function answered([module, fn, names, args]) {
    const rule = (await import(`/js/core/${module}.js`))[fn];
    if (typeof rule !== 'function') return { text: `no ${fn} in ${module}.js` };
    const before = JSON.stringify(args);
    const east = (held) => (atMs) => Number.isInteger(held) ? held : held.filter(([begin]) => begin <= atMs).at(-1)[1];
    const zone = (held) => ({ minutesEast: east(held.east ?? held), hours: held.hours ?? '24' });
    const special = { zone, random: (bytes) => Uint8Array.from(bytes) };
    const given = args.map((arg, at) => (names[at] in special ? special[names[at]](arg) : arg));
    let answer;
    try {
      answer = await rule(...given);
    } catch (refused) {
      answer = { refused: refused.constructor.name };
    }
    if (answer instanceof Set) answer = [...answer].sort();
    const seen = (key, one) => (typeof one === 'number' && !Number.isFinite(one) ? `${one}` : one);
    const text = JSON.stringify(answer === undefined ? null : answer, seen);
    return { text, untouched: JSON.stringify(args) === before };
  }
}
"""


def twin(fn: str) -> str:
    return re.sub(r"_(\w)", lambda found: found[1].upper(), fn)


@pytest.mark.parametrize("name", FILES)
def test_the_twin_answers_as_the_vector_says(core_page, name):
    module = FILES[name]["module"]
    asked = [
        [case["id"], core_modules.address(module), twin(case["fn"]), parameters(module, case["fn"]), case["args"]]
        for case in cases(name)
    ]
    answers = core_page.evaluate(ASK, asked)

    def check(case):
        answer = answers[case["id"]]
        assert same(loaded(answer["text"]), case["expect"], FILES[name]["tolerance"]), f"{case['says']}: {answer}"
        assert answer["untouched"], "a rule leaves what it was given as it was"

    check_each(name, check)


def loaded(text):
    """What a page answered, as Python sees it; words of our own when the twin is missing."""
    try:
        return json.loads(text)
    except ValueError:
        return {"missing": text}
