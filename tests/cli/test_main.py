"""The command line as a shell sees it: exit codes, streams, JSON, and a light start."""

import importlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from trainer import __version__
from trainer.base.errors import Fault, Faults, NotFoundError, TrainerError
from trainer.base.places import LOG_VARIABLE
from trainer.cli import main as command_line
from trainer.cli.envelope import Outcome
from trainer.cli.main import COMMANDS, Command, main

ROOT = Path(__file__).resolve().parents[2]

#: Too slow to import for a program that only has to say what it can do.
HEAVY = ["numpy", "scipy", "numba", "pydantic", "matplotlib", "typer", "rich", "yaml",
         "platformdirs"]  # fmt: skip


@pytest.fixture
def told(monkeypatch, tmp_path):
    """Puts a command of our own in the table, whose function does what it is told."""
    module = tmp_path / "told_command.py"
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setenv(LOG_VARIABLE, str(tmp_path / "log"))
    monkeypatch.setitem(COMMANDS, "told", Command("told_command", "Do as told."))
    sys.modules.pop("told_command", None)

    def tell(body, parameters=""):
        source = "import typer\nfrom trainer.base.errors import *\n"
        source += "from trainer.cli.envelope import Outcome\n"
        module.write_text(f"{source}def command({parameters}):\n    {body}\n")
        importlib.invalidate_caches()

    yield tell
    sys.modules.pop("told_command", None)


def test_help_lists_every_command(capsys):
    assert main(["--help"]) == 0
    said = capsys.readouterr().out
    for name, row in COMMANDS.items():
        assert f"  {name}" in said
        assert row.help in said
        assert "\n" not in row.help


def test_version(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"condenser-bench {__version__}\n"


def test_a_start_without_heavy_imports():
    code = (
        "import sys\nfrom trainer.cli.main import main\nassert main(['--help']) == 0\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_row_of_the_table_has_its_command(name):
    module = importlib.import_module(COMMANDS[name].module)
    group = getattr(module, "VERBS", None)
    assert all(verb.__doc__ for verb in group.values()) if group else module.command.__doc__
    assert not group or module.ABOUT


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_help(name, capsys):
    assert main([name, "--help"]) == 0
    said = capsys.readouterr().out
    assert f"condenser-bench {name}" in said
    assert "--json" in said


VERBS = [
    (name, verb, function)
    for name, row in COMMANDS.items()
    for verb, function in getattr(importlib.import_module(row.module), "VERBS", {}).items()
]


@pytest.mark.parametrize(("name", "verb", "function"), VERBS, ids=[f"{n} {v}" for n, v, _ in VERBS])
def test_every_verb_of_a_group_has_an_example_of_itself(name, verb, function):
    _, example, shown = " ".join((function.__doc__ or "").split()).partition("Example")
    assert example
    assert f"condenser-bench {name} {verb}" in shown


def test_a_command_prints_its_text(told, capsys):
    told("return Outcome({'x': 1}, 'one', ['the lug is loose'])")
    assert main(["told"]) == 0
    said = capsys.readouterr()
    assert said.out == "one\n"
    assert said.err == "Note: the lug is loose\n"


def test_a_command_prints_its_envelope(told, capsys):
    told("return Outcome({'x': float('nan'), 'µ': (1, 2)}, 'one', ['the lug is loose'])")
    assert main(["told", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "ok": True, "data": {"x": None, "µ": [1, 2]}, "warnings": ["the lug is loose"],
        "errors": [],
    }  # fmt: skip


def test_a_command_may_answer_no(told, capsys):
    told("return Outcome({}, 'no', exit_code=1)")
    assert main(["told", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["ok"] is False


def test_a_table_of_rich_is_printed(told, capsys):
    told("from rich.table import Table; t = Table('Volts'); t.add_row('240'); return Outcome(1, t)")
    assert main(["told"]) == 0
    assert "240" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("body", "code", "sentence"),
    [
        ("raise TrainerError('the lug is loose', 'a:1', 'tighten it')", 3,
         "a:1  the lug is loose; tighten it"),
        ("raise NotFoundError('no such study')", 4, "no such study"),
        ("raise UsageError('not so')", 2, "not so"),
        ("raise Faults([Fault('a:1', 'x', 'y'), Fault('a:2', 'z')])", 3, "a:1  x; write y\na:2  z"),
        ("raise KeyboardInterrupt", 130, "interrupted"),
        ("raise typer.Abort", 130, "interrupted"),
    ],
)  # fmt: skip
def test_what_goes_wrong_has_a_sentence_and_a_code(told, capsys, body, code, sentence):
    told(body)
    assert main(["told"]) == code
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == sentence + "\n"


@pytest.mark.parametrize(
    ("argv", "hint"),
    [
        (["energize"], "did you mean energise"),
        (["xyzzy"], "one of window, shots"),
        (["--verbose"], "see condenser-bench --help"),
        (["told", "--volts"], "see condenser-bench told --help"),
        (["told", "too", "many"], "see condenser-bench told --help"),
        (["told", "--amps", "x"], "see condenser-bench told --help"),
    ],
)
def test_bad_usage(told, capsys, argv, hint):
    told("return Outcome(amps)", "amps: float = 1.0")
    assert main(argv) == 2
    assert hint in capsys.readouterr().err
    assert main([*argv, "--json"]) == 2
    envelope = json.loads(capsys.readouterr().out)
    assert envelope["ok"] is False
    assert envelope["errors"][0]["code"] == "usage"
    assert hint in envelope["errors"][0]["hint"]


def test_faults_are_entries_of_the_envelope(told, capsys):
    told("raise Faults([Fault('a:1', 'x', 'y'), Fault('a:2', 'z')])")
    assert main(["--json", "told"]) == 3
    assert json.loads(capsys.readouterr().out) == {
        "ok": False, "data": None, "warnings": [],
        "errors": [
            {"code": "fault", "message": "x", "where": "a:1", "hint": "write y"},
            {"code": "fault", "message": "z", "where": "a:2", "hint": ""},
        ],
    }  # fmt: skip


def test_a_mistake_of_the_program_goes_to_a_log(told, tmp_path, capsys):
    told("return 1 / 0")
    assert main(["told"]) == 70
    said = capsys.readouterr().err
    (log,) = (tmp_path / "log").iterdir()
    assert said == f"the program made a mistake of its own; the details are in {log}\n"
    assert "ZeroDivisionError" in log.read_text()


def test_debug_shows_the_traceback(told, capsys):
    told("return 1 / 0")
    assert main(["told", "--debug"]) == 70
    assert "ZeroDivisionError" in capsys.readouterr().err


def test_a_mistake_without_a_place_for_the_log(told, tmp_path, monkeypatch, capsys):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv(LOG_VARIABLE, str(tmp_path / "file" / "log"))
    told("return 1 / 0")
    assert main(["told", "--json"]) == 70
    error = json.loads(capsys.readouterr().out)["errors"][0]
    assert error["code"] == "internal"
    assert error["hint"] == "run again with --debug to see where"


def test_data_that_json_cannot_hold_is_our_mistake(told, capsys):
    told("return Outcome(object())")
    assert main(["told", "--json"]) == 70


def test_flags_after_two_dashes_are_words(told, capsys):
    told("return Outcome(word, word)", "word: str")
    assert main(["told", "--", "--json"]) == 0
    assert capsys.readouterr().out == "--json\n"


def test_the_module_is_the_command():
    run = subprocess.run(
        [sys.executable, "-m", "trainer", "energize"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 2
    assert run.stderr.startswith("'energize' is not a command")


@pytest.mark.skipif(os.name != "posix", reason="pipes close otherwise elsewhere")
def test_a_reader_that_goes_away_is_no_traceback():
    command = f"{sys.executable} -m trainer --help | true; exit ${{PIPESTATUS[0]}}"
    run = subprocess.run(
        ["bash", "-c", command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.stderr == ""


def test_a_console_without_micro_signs(told, tmp_path):
    code = (
        "from trainer.cli import main as m\n"
        "m.COMMANDS['told'] = m.Command('told_command', '')\n"
        "raise SystemExit(m.main(['told']))"
    )
    told("return Outcome(1, '45 µF')")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii",
                   "PYTHONPATH": os.pathsep.join([str(tmp_path), str(ROOT)])}  # fmt: skip
    run = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert (run.returncode, run.stdout) == (0, "45 ?F\n")


def test_errors_keep_their_own_codes():
    assert command_line.BROKEN_PIPE == 141
    assert TrainerError("x").exit_code == 3
    assert NotFoundError("x").exit_code == 4
    assert Faults([Fault("a", "b")]).exit_code == 3
    assert Outcome(1).exit_code == 0
