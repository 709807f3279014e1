"""How the published figures are put to the rules: the same question to Python and to JavaScript."""

import re

import pytest

from tests.support import core_modules

IN_PAGE = """async ([module, fn, asked]) => {
  const rule = (await import(`/js/core/${module}.js`))[fn];
  return asked.map((args) => rule(...args));
}"""


@pytest.fixture(params=["python", pytest.param("javascript", marks=pytest.mark.browser)])
def reckon_all(request):
    """One way to ask a rule many times, `reckon_all("air", "dew_point_c", [[20, 50], ...])`, in each language."""
    if request.param == "python":
        return _in_python
    page = request.getfixturevalue("core_page")
    return lambda module, fn, asked: page.evaluate(
        IN_PAGE, [core_modules.address(module), _camel(fn), [list(args) for args in asked]]
    )


@pytest.fixture
def reckon(reckon_all):
    """The same, once: `reckon("air", "dew_point_c", 20, 50)`."""
    return lambda module, fn, *args: reckon_all(module, fn, [args])[0]


def _in_python(module, fn, asked):
    rule = getattr(core_modules.module(module), fn)
    return [rule(*args) for args in asked]


def _camel(fn):
    return re.sub(r"_(\w)", lambda found: found[1].upper(), fn)
