"""House rules that a machine can keep: size, docstrings, prints, clocks, chance, heavy imports."""

import ast
import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.outside import spread

ROOT = Path(__file__).resolve().parents[1]
LINES_MOST = 400

SOURCES = sorted((ROOT / "trainer").rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
TEXT_SUFFIXES = {".py", ".md", ".toml", ".yaml", ".yml", ".txt", ".csv", ".cfg", ""}

#: Modules that only some files may import: module -> patterns of paths inside trainer/.
KEPT_APART = {
    "numba": r"circuit/kernel\w*\.py",
    "llvmlite": r"circuit/kernel\w*\.py",
    "pygame": r"view/(app|paint|speaker|strokes)\.py",
    "typer": r"cli/.*",
    "rich": r"cli/.*",
    "matplotlib": r"cli/.*|report/.*|view/.*",
    "time": r"base/clock\.py|cli/.*",
    "datetime": r"base/clock\.py|classroom/zones\.py|cli/.*|view/(app|shelf)\.py",
    "random": r"base/clock\.py|cli/.*",
    "cryptography": r"session/sealing\.py|exchange/.*|cli/key\.py",
    "secrets": r"base/clock\.py|cli/.*",
    "uuid": r"base/clock\.py|cli/.*",
}
#: Split so that this file does not hold the words themselves.
FORBIDDEN = [
    "/wo" "rk/", "/ho" "me/", "/ro" "ot/", "/tm" "p/", "shar" "ed/", "C:" "\\Users",
    "TO" "DO", "FIX" "ME", "NotImpl" "ementedError",
]  # fmt: skip


def inside(path: Path) -> str:
    return path.relative_to(ROOT / "trainer").as_posix()


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@cache
def source_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


@cache
def tree_of(source: str) -> ast.Module:
    """Parsed once for all rules."""
    return ast.parse(source)


def offenders(paths, problem_of):
    """File -> what is wrong with it, for every file that a rule finds something in."""
    found = {named(path): problem_of(path) for path in paths}
    return {name: problem for name, problem in found.items() if problem}


def modules_of(source: str) -> set[str]:
    """The top names of everything a source imports."""
    found = set()
    for node in ast.walk(tree_of(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


def may_import(source: str, module: str) -> bool:
    """By the text alone: parsing every file to find that it does not is most of these rules."""
    return re.search(rf"\b(?:import|from)\s[^\n]*\b{module}\b", source) is not None


def opens_with_words(source: str) -> bool:
    """Whether the first thing after comments is a text that says something."""
    return re.match(r"""(?:\s*#[^\n]*\n)*\s*(\"{3}|'{3}|"|')\s*(?!\1)\S""", source) is not None


def prints_of(source: str) -> list[int]:
    """Lines that print or write to the standard streams."""
    if not re.search(r"\bprint\b|\bsys\b", source):
        return []
    lines = []
    for node in ast.walk(tree_of(source)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) in (
            "print", "sys.stdout.write", "sys.stderr.write",
        ):  # fmt: skip
            lines.append(node.lineno)
    return lines


def chance_of(source: str) -> list[int]:
    """Lines that draw from a generator nobody handed in: numpy's global one, or one unseeded."""
    if "random" not in source:
        return []
    lines = []
    for node in ast.walk(tree_of(source)):
        if not isinstance(node, ast.Call):
            continue
        called = re.fullmatch(r"(?:np|numpy)\.random\.(\w+)", ast.unparse(node.func))
        if called and not (called.group(1) in ("default_rng", "PCG64") and node.args):
            lines.append(node.lineno)
    return lines


def test_files_are_short():
    def lines(path):
        count = len(source_of(path).splitlines())
        return count if count > LINES_MOST else 0

    assert offenders(SOURCES + TESTS, lines) == {}


def test_modules_say_what_they_know():
    """A module opens with a docstring."""
    assert offenders(SOURCES + TESTS, lambda p: not opens_with_words(source_of(p))) == {}


def test_heavy_and_impure_modules_stay_in_their_place():
    def strayed(path):
        source = source_of(path)
        return [
            f"{module} belongs to {where}"
            for module, where in KEPT_APART.items()
            if not re.fullmatch(where, inside(path))
            and may_import(source, module)
            and module in modules_of(source)
        ]

    assert offenders(SOURCES, strayed) == {}


def test_only_the_command_line_prints():
    below = [path for path in SOURCES if not inside(path).startswith("cli/")]
    assert offenders(below, lambda p: prints_of(source_of(p))) == {}


def test_chance_is_handed_in():
    assert offenders(SOURCES, lambda p: chance_of(source_of(p))) == {}


#: Where planted conditions may be named: their own table, and the files of scenarios.
FAULT_TABLE = r"unit/faults\w*\.py"


def fault_ids_of(source: str) -> list[str]:
    """Ids of planted conditions in a source."""
    return re.findall(r"\bF[0-9]{2}\b", source)


def words_of(source: str) -> set[str]:
    """Every text that a source holds as a value."""
    nodes = ast.walk(tree_of(source))
    return {n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)}


def test_conditions_are_named_in_their_table_only():
    from trainer.unit.faults import FAULTS

    names = {fault.name for fault in FAULTS.values()}
    elsewhere = [path for path in SOURCES if not re.fullmatch(FAULT_TABLE, inside(path))]

    def told(path):
        source = source_of(path)
        possible = any(all(word in source for word in name.split()) for name in names)
        return [*fault_ids_of(source), *(words_of(source) & names if possible else ())]

    assert offenders(elsewhere, told) == {}


def texts():
    """Every text of the project: sources, tests, data, papers."""
    for folder in ("trainer", "tests", "scenarios", "assets", ".ci"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.is_file() and path.suffix in TEXT_SUFFIXES and "__pycache__" not in path.parts:
                yield path
    yield from (ROOT / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE"))
    yield ROOT / "pyproject.toml"


def test_no_machine_paths_or_loose_ends():
    found = [
        f"{named(path)}: {word}"
        for path in texts()
        for word in FORBIDDEN
        if word in source_of(path)
    ]
    assert found == []


def test_the_checks_themselves_see():
    assert offenders([ROOT / "a.py", ROOT / "b.py"], lambda p: p.stem == "b") == {"b.py": True}
    assert modules_of("def f():\n    import numba.core\n    from pygame import x") == {
        "numba", "pygame",
    }  # fmt: skip
    assert may_import("try:\n    import os, numba.core", "numba")
    assert may_import("from numba import x", "numba") and not may_import("numba", "numba")
    for source in ('"""Says it."""', '#!x\n# y\n\n"Says it."\nimport os'):
        assert opens_with_words(source) and ast.get_docstring(ast.parse(source))
    for source in ("", "# only a remark", '""""""', '""', 'import os\n"""Late."""', "x = 'y'"):
        assert not opens_with_words(source) and not ast.get_docstring(ast.parse(source))
    assert fault_ids_of("plant(unit, 'F21')  # not F3 or XF22") == ["F21"]
    assert words_of("x = 'leg lost'  # pitted pole") == {"leg lost"}
    assert prints_of("x = 1\nprint(x)\nsys.stderr.write('x')") == [2, 3]
    assert chance_of("np.random.rand()\nnp.random.default_rng()\nnp.random.default_rng(7)") == [
        1,
        2,
    ]


SKIPPING = """
import pytest

@pytest.mark.skipif(True, reason="no such meter here")
def test_reading():
    pass
"""


WHOLE_FILE = "import pytest\npytest.skip('no such meter here', allow_module_level=True)"


@pytest.mark.parametrize(("source", "ci"), spread([SKIPPING, WHOLE_FILE], ["1", ""]))
def test_ci_turns_a_skip_into_a_failure(tmp_path, monkeypatch, source, ci):
    shutil.copy(ROOT / "tests" / "conftest.py", tmp_path)
    (tmp_path / "test_skipping.py").write_text(source)
    monkeypatch.setenv("CONDENSER_BENCH_CI", ci)
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-rs", str(tmp_path)]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert "no such meter here" in run.stdout
    assert (run.returncode in (0, 5)) == (ci != "1")
