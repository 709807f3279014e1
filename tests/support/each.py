"""One test over many cases of one kind: it tries them all and names every one that fails."""

import functools
import inspect


class NotAll(AssertionError):
    """Some of the cases of a test failed."""


def each(name: str, cases, show=str):
    """A test that is called with each of some cases as its argument `name`: one item for pytest, not one a case.

    `show` gives a case the name that it fails under.  Fixtures and other parameters of the test stay as they are.
    """
    cases = list(cases)

    def over(test):
        @functools.wraps(test)
        def tries(**others):
            try_all(cases, lambda case: test(**{name: case}, **others), show)

        signature = inspect.signature(test)
        kept = [parameter for parameter in signature.parameters.values() if parameter.name != name]
        tries.__signature__ = signature.replace(parameters=kept)
        del tries.__wrapped__
        return tries

    return over


def try_all(cases: list, check, show=str):
    """Checks every case.  Raises NotAll with what went wrong with each that failed, and where there is no case."""
    failed = []
    for case in cases:
        try:
            check(case)
        except Exception as why:  # whatever it is, the other cases are tried too
            failed.append(f"{show(case)}: {type(why).__name__}: {why}")
    if failed or not cases:
        raise NotAll("\n".join([f"{len(failed)} of {len(cases)}", *failed]))
