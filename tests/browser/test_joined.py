"""The joined scripts that phones get give what the plain modules give, and no module is left out or said twice."""

import pytest

from shop.base import scripts
from shop.shell import bundle

from .conftest import furnished

EXPORTS = """async ([lots, modules]) => {
  const names = (module) => Object.keys(module).sort();
  const joined = Object.assign({}, ...await Promise.all(lots.map((lot) => import(lot))));
  const pairs = {};
  for (const [word, path] of modules) pairs[word] = [names(joined[word]), names(await import(path))];
  return pairs;
}"""


def needed() -> set[str]:
    return set(bundle._sorted([root for roots in bundle.frontend.bundles.values() for root in roots]))


def test_every_module_is_in_one_lot_with_all_that_it_exports(server, phones):
    page = phones(server.address)
    furnished(page)  # their scripts look for it
    modules = [[bundle._constant(path), f"/static/js/{path}"] for path in needed() - {"app/boot.js"}]
    lots = [f"/static/joined/{lot}.js" for lot in bundle.frontend.bundles]
    for word, (ours, plain) in page.evaluate(EXPORTS, [lots, modules]).items():
        assert ours == plain, word


def test_no_module_is_in_two_lots():
    said = "".join(text for name, text in bundle.build().items() if name.endswith(".js"))
    for name in scripts.names():
        assert said.count(f"const {bundle._constant(name)} = (() =>") == (name in needed())


@pytest.mark.parametrize(
    "odd", ["export default 3;", "export { a };", 'import "./core/base/units.js";', "export let a = 1;"]
)
def test_a_module_that_cannot_be_joined_is_said_by_name(odd, tmp_path, monkeypatch):
    (tmp_path / "odd.js").write_text(odd + "\n")
    monkeypatch.setattr(scripts, "FOLDER", tmp_path)
    with pytest.raises(ValueError, match=r"odd\.js says"):
        bundle.wrap("odd.js", scripts.text("odd.js"))


def test_modules_that_import_each_other_are_refused(tmp_path, monkeypatch):
    for one, other in (("a", "b"), ("b", "a")):
        (tmp_path / f"{one}.js").write_text(f'import {{ x }} from "./{other}.js";\nexport const x = 1;\n')
    monkeypatch.setattr(scripts, "FOLDER", tmp_path)
    with pytest.raises(ValueError, match="import cycle"):
        bundle._sorted(["a.js"])
