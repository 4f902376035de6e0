"""House rules that a machine can keep: size, docstrings, prints, clocks, chance, heavy imports."""

import ast
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

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


def modules_of(source: str) -> set[str]:
    """The top names of everything a source imports."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


def prints_of(source: str) -> list[int]:
    """Lines that print or write to the standard streams."""
    lines = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) in (
            "print", "sys.stdout.write", "sys.stderr.write",
        ):  # fmt: skip
            lines.append(node.lineno)
    return lines


def chance_of(source: str) -> list[int]:
    """Lines that draw from a generator nobody handed in: numpy's global one, or one unseeded."""
    lines = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        called = re.fullmatch(r"(?:np|numpy)\.random\.(\w+)", ast.unparse(node.func))
        if called and not (called.group(1) in ("default_rng", "PCG64") and node.args):
            lines.append(node.lineno)
    return lines


@pytest.mark.parametrize("path", SOURCES + TESTS, ids=named)
def test_files_are_short(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LINES_MOST


@pytest.mark.parametrize("path", SOURCES + TESTS, ids=named)
def test_modules_say_what_they_know(path):
    source = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(source)), "a module opens with a docstring"


@pytest.mark.parametrize("path", SOURCES, ids=inside)
def test_heavy_and_impure_modules_stay_in_their_place(path):
    imported = modules_of(path.read_text(encoding="utf-8"))
    for module, where in KEPT_APART.items():
        if not re.fullmatch(where, inside(path)):
            assert module not in imported, f"{module} belongs to {where}"


@pytest.mark.parametrize("path", SOURCES, ids=inside)
def test_only_the_command_line_prints(path):
    if not inside(path).startswith("cli/"):
        assert prints_of(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", SOURCES, ids=inside)
def test_chance_is_handed_in(path):
    assert chance_of(path.read_text(encoding="utf-8")) == []


#: Where planted conditions may be named: their own table, and the files of scenarios.
FAULT_TABLE = r"unit/faults\w*\.py"


def fault_ids_of(source: str) -> list[str]:
    """Ids of planted conditions in a source."""
    return re.findall(r"\bF[0-9]{2}\b", source)


def words_of(source: str) -> set[str]:
    """Every text that a source holds as a value."""
    nodes = ast.walk(ast.parse(source))
    return {n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)}


@pytest.mark.parametrize("path", SOURCES, ids=inside)
def test_conditions_are_named_in_their_table_only(path):
    from trainer.unit.faults import FAULTS

    if re.fullmatch(FAULT_TABLE, inside(path)):
        return
    source = path.read_text(encoding="utf-8")
    assert fault_ids_of(source) == []
    assert not words_of(source) & {fault.name for fault in FAULTS.values()}


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
        if word in path.read_text(encoding="utf-8")
    ]
    assert found == []


def test_the_checks_themselves_see():
    assert modules_of("def f():\n    import numba.core\n    from pygame import x") == {
        "numba", "pygame",
    }  # fmt: skip
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


@pytest.mark.parametrize(
    "source",
    [SKIPPING, "import pytest\npytest.skip('no such meter here', allow_module_level=True)"],
)
@pytest.mark.parametrize("ci", ["1", ""])
def test_ci_turns_a_skip_into_a_failure(tmp_path, monkeypatch, source, ci):
    shutil.copy(ROOT / "tests" / "conftest.py", tmp_path)
    (tmp_path / "test_skipping.py").write_text(source)
    monkeypatch.setenv("CONDENSER_BENCH_CI", ci)
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-rs", str(tmp_path)]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert "no such meter here" in run.stdout
    assert (run.returncode in (0, 5)) == (ci != "1")
