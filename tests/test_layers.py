"""Which package may import which. A new arrow is a reviewed change to this table.

The table also stands in DEVELOPERS.md; a test here compares the two. Imports inside functions
and under TYPE_CHECKING count like any others.
"""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TRAINER = ROOT / "trainer"

#: package -> packages of ours it may import, from the ground up.
LAYERS = {
    "base": "",
    "motor": "base",
    "circuit": "base motor",
    "parts": "base motor circuit",
    "study": "base motor circuit parts",
    "starts": "base motor circuit parts study",
    "sizing": "base motor circuit parts study starts",
    "demo": "base motor circuit parts study starts",
    "unit": "base motor circuit parts study",
    "instruments": "base motor circuit unit",
    "nets": "base circuit parts unit",
    "scenario": "base circuit parts unit instruments nets",
    "sheet": "base parts unit",
    "session": "base motor circuit parts study starts unit instruments scenario sheet",
    "standards": "base",
    "assess": "base parts unit nets scenario session standards",
    "exchange": "base unit scenario session",
    "store": "base",
    "classroom": "base unit scenario session standards assess exchange store",
    "report": "base unit scenario session standards assess store classroom",
    "view": "base motor circuit parts study starts sizing demo unit instruments nets scenario "
    "sheet session standards assess exchange store classroom report",
    "cli": "base motor circuit parts study starts sizing demo unit instruments nets scenario "
    "sheet session standards assess exchange store classroom report view",
}
#: Modules beside the packages, and what they may import.
ROOT_MODULES = {"__init__": set(), "__main__": {"cli"}}


#: An import as it looks in the text of a source, wherever a statement may begin.
IMPORT = re.compile(
    r"(?:^|[;:])[ \t]*("
    r"(?:from[ \t]+[.\w]+[ \t]+import[ \t]*(?:\([^)]*\)|[^\n;]+))|import[ \t]+[^\n;]+)",
    re.MULTILINE,
)


def statements(source: str) -> ast.Module:
    """The imports of a source alone; all of it where one of them cannot be read by itself."""
    try:
        return ast.parse("\n".join(IMPORT.findall(source)))
    except SyntaxError:
        return ast.parse(source)


def imported(source: str) -> set[str]:
    """The packages of ours that a source imports; "." stands for a relative import."""
    found = set()
    for node in ast.walk(statements(source)):
        if isinstance(node, ast.ImportFrom):
            found |= {"."} if node.level else _ours(node.module, [a.name for a in node.names])
        elif isinstance(node, ast.Import):
            for alias in node.names:
                found |= _ours(alias.name, [])
    return found


def _ours(module: str, names: list[str]) -> set[str]:
    head, *rest = module.split(".")
    if head != "trainer":
        return set()
    return {rest[0]} if rest else {name for name in names if name in LAYERS}


def wrong_arrows(package: str, source: str) -> set[str]:
    return imported(source) - {package} - set(LAYERS[package].split())


@pytest.mark.parametrize("path", sorted(TRAINER.rglob("*.py")), ids=lambda p: str(p.name))
def test_imports_go_down(path):
    inside = path.relative_to(TRAINER)
    source = path.read_text(encoding="utf-8")
    if len(inside.parts) == 1:
        assert imported(source) <= ROOT_MODULES[inside.stem]
        return
    assert inside.parts[0] in LAYERS, f"{inside.parts[0]} is not in the table of layers"
    assert not wrong_arrows(inside.parts[0], source)


def test_the_table_has_no_circles():
    seen = set()
    for package, below in LAYERS.items():
        assert set(below.split()) <= seen, f"{package} may import what stands above it"
        seen.add(package)


@pytest.mark.parametrize(
    ("package", "source", "wrong"),
    [
        ("motor", "from trainer.circuit.elements import CHASSIS", {"circuit"}),
        ("motor", "def f():\n    import trainer.cli.main", {"cli"}),
        ("base", "from trainer import study", {"study"}),
        ("base", "from . import units", {"."}),
        ("parts", "from trainer.parts.wire import Wire\nfrom trainer.base import units", set()),
        ("base", "from trainer import __version__\nimport json", set()),
    ],
)
def test_a_wrong_arrow_is_seen(package, source, wrong):
    assert wrong_arrows(package, source) == wrong


@pytest.mark.parametrize(
    ("source", "packages"),
    [
        ("x = 1; from trainer.view import a", {"view"}),
        ("if y: import trainer.cli.main", {"cli"}),
        (
            "def f():\n    from trainer.sheet import (\n        a,  # (b)\n        c,\n    )",
            {"sheet"},
        ),
        ("from trainer.demo import a, \\\n    b", {"demo"}),
        ("from . import x", {"."}),
        ("from trainer import nets", {"nets"}),
    ],
)
def test_an_import_is_found_wherever_it_stands(source, packages):
    assert imported(source) == packages


def test_developers_md_shows_the_same_table():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)` \| ([\w ]+|nothing of ours|all of them) \|", text, re.MULTILINE)
    said = {"nothing of ours": ""}
    below = {name: said.get(allowed, allowed) for name, allowed in rows}
    everything = {name: " ".join(list(LAYERS)[: list(LAYERS).index(name)]) for name in LAYERS}
    shown = {n: everything[n] if a == "all of them" else a for n, a in below.items()}
    assert {n: set(a.split()) for n, a in shown.items()} == {
        n: set(a.split()) for n, a in LAYERS.items()
    }
