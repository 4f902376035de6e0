"""The command line: finds the command, prints what it hands back, answers for what goes wrong.

Starts light: a command's module, and with it everything heavy, is imported once it is chosen.
A module in ``COMMANDS`` has a function ``command`` with typer-annotated parameters that
returns an ``Outcome``, or a table ``VERBS`` of such functions with a line ``ABOUT``; ``--json``
and ``--debug`` are taken off here for all of them. Knows no physics. Exit codes: 0, 1 the answer
is no, 2 bad usage, 3 input invalid, 4 not found, 5 refused by policy, 6 in the way of something
there, 7 done in part, 70 internal, 130 interrupted.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from typing import Any, NamedTuple

from trainer import __version__
from trainer.base.errors import INTERNAL, INTERRUPTED, TrainerError, UsageError, quoted

PROGRAM = "condenser-bench"
#: What a shell reports for a program whose reader went away.
BROKEN_PIPE = 141


class Command(NamedTuple):
    """A row of the table: the module that has ``command``, and a line for the help."""

    module: str
    help: str


COMMANDS: dict[str, Command] = {
    "window": Command("trainer.cli.window", "Open the window; no command at all does so too."),
    "shots": Command("trainer.cli.shots", "Draw the window's screens into PNG files."),
    "energise": Command("trainer.cli.energise", "Energise a study and report its start."),
    "measure": Command("trainer.cli.measure", "Put a meter between two terminals of a study."),
    "sweep": Command("trainer.cli.sweep", "Repeat a start while one value varies."),
    "size": Command("trainer.cli.size", "Size conductors, breaker and start gear of a nameplate."),
    "bench": Command("trainer.cli.bench", "Work at a bench in text: type an act, read the result."),
    "play": Command("trainer.cli.play", "Play a file of moves on a bench without a screen."),
    "replay": Command("trainer.cli.replay", "Replay an attempt, or verify it act by act."),
    "mark": Command("trainer.cli.mark", "Mark an attempt, with the evidence for every mark."),
    "debrief": Command("trainer.cli.debrief", "Write the debrief of an attempt: page, text, JSON."),
    "compare": Command("trainer.cli.compare", "Lay two attempts at one job side by side."),
    "progress": Command("trainer.cli.progress", "Tell what attempts have shown and what is due."),
    "class": Command("trainer.cli.classes", "A class: its people, and the store it is kept in."),
    "learner": Command("trainer.cli.learner", "One learner: his data, older ids, erasure."),
    "key": Command("trainer.cli.key", "Make a key for graded attempts, or release one."),
    "assign": Command("trainer.cli.assign", "Assign jobs to a class, and make the file for it."),
    "handin": Command(
        "trainer.cli.handin", "Seal and give a hand-in; verify, import and list those of a class."
    ),
    "grade": Command(
        "trainer.cli.grade", "Look at marks, moderate, mark anew, and release them to learners."
    ),
    "export": Command(
        "trainer.cli.export", "Write gradebooks, evidence, class reports and statements."
    ),
    "scenarios": Command(
        "trainer.cli.scenarios", "List, show, begin and draw scenarios, and their answer sheets."
    ),
    "standard": Command(
        "trainer.cli.standard", "Set a cut score, and look at items and reliability, from a CSV."
    ),
    "schema": Command("trainer.cli.schema", "Print the JSON Schema of a kind of file."),
    "check": Command("trainer.cli.check", "Check scenarios, layouts and studies; prove scenarios."),
    "studies": Command("trainer.cli.studies", "List the studies that come with the program."),
}

#: A file of such a name alone opens in the window.
OPENED = (".assignment", ".receipt", ".release", ".marks", ".att")

_ABOUT = "Wire a condensing unit on the bench, energise it, and read what really happens."
_CAUTION = (
    "Training aid only: simplified physics, invented equipment. Local codes, the maker's\n"
    "instructions and your licence rule real work."
)
_FLAGS = (
    ("--json", "Print one JSON object: ok, data, warnings, errors."),
    ("--debug", "Show the traceback of an internal error."),
    ("--version", "Show the version."),
    ("--help", "Show this text, or the help of a command."),
)


class _Interrupted(TrainerError):
    exit_code = INTERRUPTED
    code = "interrupted"


class _InternalError(TrainerError):
    exit_code = INTERNAL
    code = "internal"


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command line and return its exit code."""
    given = list(sys.argv[1:] if argv is None else argv)
    words, flags = _without_flags(given)
    _bear_any_console()
    try:
        return _dispatch(words, "--json" in flags)
    except TrainerError as error:
        return _refuse(error, "--json" in flags)
    except KeyboardInterrupt:
        return _refuse(_Interrupted("interrupted"), "--json" in flags)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except Exception as error:
        return _own_up(error, flags)


def _without_flags(given: list[str]) -> tuple[list[str], set[str]]:
    """The words of the line and the flags every command shares; after ``--`` all are words."""
    end = given.index("--") if "--" in given else len(given)
    shared = {"--json", "--debug"}
    words = [word for word in given[:end] if word not in shared] + given[end:]
    return words, shared.intersection(given[:end])


def _dispatch(words: list[str], as_json: bool) -> int:
    if words and words[0] in ("--help", "-h"):
        print(help_text())
        return 0
    if words == ["--version"]:
        print(f"{PROGRAM} {__version__}")
        return 0
    if not words:
        return _opened(as_json)
    if words[0].endswith(OPENED) and words[0] not in COMMANDS:
        words = ["window", *words]
    return _run(_known(words[0]), words[1:], as_json)


def help_text() -> str:
    """The help of the whole program, from the table."""
    width = max(len(name) for name in (*COMMANDS, "--version"))
    commands = [f"  {name:<{width}}  {row.help}" for name, row in COMMANDS.items()]
    flags = [f"  {name:<{width}}  {text}" for name, text in _FLAGS]
    usage = f"Usage: {PROGRAM} [COMMAND] [ARGUMENTS] [OPTIONS]"
    more = f"{PROGRAM} COMMAND --help tells the rest."
    parts = [usage, "", _ABOUT, "", "Commands:", *commands, "", "Options:", *flags, "", more]
    return "\n".join([*parts, "", _CAUTION])


def _known(name: str) -> str:
    if name in COMMANDS:
        return name
    from difflib import get_close_matches

    near = get_close_matches(name[:40], COMMANDS, n=1)
    hint = f"did you mean {near[0]}" if near else f"one of {', '.join(COMMANDS)}"
    raise UsageError(f"{quoted(name)} is not a command", hint=f"{hint} (see {PROGRAM} --help)")


def _opened(as_json: bool) -> int:
    """No command at all opens the window; the machinery of commands is left aside, for speed."""
    from trainer.cli.opening import open_here

    return _told(open_here(), as_json)


def _run(name: str, arguments: list[str], as_json: bool) -> int:
    """Hand the arguments to the command's function and print what comes back."""
    return _told(_call(name, arguments), as_json)


def _told(result: Any, as_json: bool) -> int:
    """Print what a command handed back."""
    from trainer.cli.envelope import Outcome, succeeded, text_of

    if not isinstance(result, Outcome):
        return int(result or 0)
    if as_json:
        print(text_of(succeeded(result)))
    else:
        _show(result.text)
        for warning in result.warnings:
            print(f"Note: {warning}", file=sys.stderr)
    sys.stdout.flush()
    return result.exit_code


def _call(name: str, arguments: list[str]) -> Any:
    """What the command returns; a line it cannot read becomes a UsageError."""
    import typer

    app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    row = COMMANDS[name]
    epilog = (
        "Also: --json prints one JSON object, --debug shows the traceback of an internal error."
    )
    module = importlib.import_module(row.module)
    verbs = getattr(module, "VERBS", None)
    if verbs is None:
        app.command(name, epilog=epilog)(module.command)
    else:
        app.callback(help=module.ABOUT, epilog=epilog)(lambda: None)
        for verb, function in verbs.items():
            app.command(verb, epilog=epilog)(function)
    runner = typer.main.get_command(app)
    try:
        with runner.make_context(f"{PROGRAM} {name}", arguments) as context:
            return runner.invoke(context)
    except typer.Exit as done:
        return done.exit_code
    except typer.Abort:
        raise KeyboardInterrupt from None
    except Exception as error:
        if getattr(error, "exit_code", None) != 2 or not hasattr(error, "format_message"):
            raise
        verb = f" {arguments[0]}" if verbs and arguments and arguments[0] in verbs else ""
        hint = f"see {PROGRAM} {name}{verb} --help"
        raise UsageError(error.format_message(), hint=hint) from None


def _show(text: object) -> None:
    if isinstance(text, str):
        print(text)
    else:
        from rich.console import Console

        Console().print(text)


def _refuse(error: TrainerError, as_json: bool) -> int:
    """Say what is wrong: as the JSON object on stdout, or as sentences on stderr."""
    if as_json:
        from trainer.cli.envelope import failed, text_of

        print(text_of(failed(error)))
    else:
        print(error, file=sys.stderr)
    return error.exit_code


def _own_up(error: Exception, flags: set[str]) -> int:
    """A mistake of the program: one sentence and a log file, or the traceback on request."""
    import traceback

    report = "".join(traceback.format_exception(error))
    if "--debug" in flags:
        print(report, file=sys.stderr, end="")
    path = _log(report)
    kept = f"the details are in {path}" if path else "run again with --debug to see where"
    internal = _InternalError("the program made a mistake of its own", hint=kept)
    return _refuse(internal, "--json" in flags)


def _log(report: str) -> str:
    """Write the report where this platform keeps logs; empty when nothing can be written."""
    import platform
    from datetime import UTC, datetime

    from trainer.base.places import log_dir

    now = datetime.now(UTC)
    head = f"{PROGRAM} {__version__}, Python {platform.python_version()}, {platform.platform()}\n"
    try:
        folder = log_dir()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"error-{now:%Y%m%d-%H%M%S}-{os.getpid()}.log"
        path.write_text(f"{now.isoformat()}\n{head}{report}", encoding="utf-8")
    except OSError:
        return ""
    return str(path)


def _bear_any_console() -> None:
    """Print "?" for a letter the console lacks rather than fail on it."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
