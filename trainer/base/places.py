"""Where things are on this machine: shipped data, the user's cache, the user's log.

Shipped data lies beside the package in a checkout and inside it in an installed wheel.
Knows folders only; must not read what is in them.
"""

from __future__ import annotations

import os
import platform
import re
import tempfile
from difflib import get_close_matches
from functools import cache
from pathlib import Path

from trainer import __version__
from trainer.base.errors import NotFoundError

APP = "condenser-bench"
#: Moves the cache elsewhere, for a shop machine whose home folders may not be written.
CACHE_VARIABLE = "CONDENSER_BENCH_CACHE"
LOG_VARIABLE = "CONDENSER_BENCH_LOG"
#: Moves a person's settings, attempts, keys and class elsewhere.
DATA_VARIABLE = "CONDENSER_BENCH_DATA"
_PACKAGE = Path(__file__).resolve().parent.parent


def scenarios_dir() -> Path:
    """The folder of shipped scenarios and studies."""
    return _shipped("scenarios")


def assets_dir() -> Path:
    """The folder of shipped fonts, pictures and parameter files."""
    return _shipped("assets")


def _shipped(name: str) -> Path:
    inside = _PACKAGE / "_data" / name
    if inside.is_dir():
        return inside
    checkout = _PACKAGE.parent
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    raise NotFoundError(
        f"the shipped folder {name} is missing", str(inside), "install condenser-bench again"
    )


@cache
def cache_dir() -> Path:
    """A writable folder for compiled code of this user, version and processor, made on first use.

    Falls back to a private folder for this run when the usual one cannot be written; never to
    a shared one, since what is cached there is run again.
    """
    folder = _cache_root() / __version__ / _cpu()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError:
        return Path(_private().name)


def data_dir() -> Path:
    """Where attempts, settings, keys and the class lie; made on first use by who writes there."""
    chosen = os.environ.get(DATA_VARIABLE)
    if chosen:
        return Path(chosen)
    import platformdirs

    return Path(platformdirs.user_data_dir(APP, appauthor=False))


def log_dir() -> Path:
    """The platform's folder for this program's log files; made by whoever writes there."""
    chosen = os.environ.get(LOG_VARIABLE)
    if chosen:
        return Path(chosen)
    import platformdirs

    return Path(platformdirs.user_log_dir(APP, appauthor=False))


def _cache_root() -> Path:
    chosen = os.environ.get(CACHE_VARIABLE)
    if chosen:
        return Path(chosen)
    import platformdirs

    return Path(platformdirs.user_cache_dir(APP, appauthor=False))


@cache
def _private() -> tempfile.TemporaryDirectory[str]:
    """Lives as long as this process and is removed with it."""
    return tempfile.TemporaryDirectory(prefix=f"{APP}-")


def _cpu() -> str:
    """A folder name for this processor: code compiled for another one may not run here."""
    name = f"{platform.machine()} {_cpu_model()}"
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:80] or "unknown"


def _cpu_model() -> str:
    try:
        with open("/proc/cpuinfo", encoding="utf-8", errors="replace") as lines:
            for line in lines:
                if line.startswith("model name"):
                    return line.partition(":")[2]
    except OSError:
        pass
    return platform.processor()


def shipped_file(name: str, folder: str) -> Path:
    """A file somebody named: a path, or the bare name of one in ``scenarios/<folder>``.

    shipped_file("psc", "studies") is scenarios/studies/psc.yaml unless a file psc is here.
    """
    if Path(name).is_file() or not re.fullmatch(r"[\w-]{1,60}(\.yaml)?", name):
        return Path(name)
    stem = name.removesuffix(".yaml")
    path = scenarios_dir() / folder / f"{stem}.yaml"
    if path.is_file():
        return path
    names = sorted(entry.stem for entry in path.parent.glob("*.yaml"))
    near = get_close_matches(stem, names, n=1)
    hint = f"did you mean {near[0]}" if near else f"name a file, or one of {', '.join(names)}"
    raise NotFoundError(f"there is no file and none of the {folder} named {name}", "", hint)
