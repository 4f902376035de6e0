"""Settings and attempts of a person on this machine. Damaged files are set aside, never lost.

Knows files; must know no screen.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, fields
from pathlib import Path

from trainer.base.places import data_dir as data_dir
from trainer.view import keys
from trainer.view.language import LANGUAGES, PSEUDO, tr
from trainer.view.state import Settings
from trainer.view.theme import theme_names

FILE = "settings.json"
SIZE_MOST = 100_000


def load_settings(folder: Path) -> tuple[Settings, str]:
    """(settings, what was wrong with the file in one sentence or "")."""
    path = folder / FILE
    try:
        text = path.read_text(encoding="utf-8")[:SIZE_MOST]
    except FileNotFoundError:
        return Settings(), ""
    except (OSError, UnicodeDecodeError):
        return Settings(), _set_aside(path)
    try:
        data = json.loads(text)
        return _read(data), _keys_told(data)
    except (ValueError, TypeError, AttributeError, RecursionError):
        return Settings(), _set_aside(path)


def _keys_told(data: dict[str, object]) -> str:
    """Keys that cannot be what a person set: all of them are the usual ones then."""
    if "keys" not in data or keys.checked(data["keys"])[1]:
        return ""
    return tr("The keys in your settings could not be read; the usual keys are used.")


def _set_aside(path: Path) -> str:
    aside, n = path.with_suffix(".damaged"), 2
    while aside.exists():
        aside, n = path.with_suffix(f".damaged-{n}"), n + 1
    with suppress(OSError):
        path.replace(aside)
    return tr(
        "Your settings could not be read; the usual ones are used. The old file is {path}.",
        path=aside,
    )


def _read(data: dict[str, object]) -> Settings:
    """Known keys with fitting values; anything else keeps its usual value."""
    usual = Settings()
    good = {}
    for field in fields(Settings):
        value = data.get(field.name, getattr(usual, field.name))
        if type(value) is type(getattr(usual, field.name)):
            good[field.name] = value
    found = Settings(**good)  # type: ignore[arg-type]
    checked = {
        "scale": min(max(found.scale, 100), 200),
        "theme": found.theme if found.theme in theme_names() else usual.theme,
        "language": found.language if found.language in (*LANGUAGES, PSEUDO) else usual.language,
        "units": found.units if found.units in ("SI", "US") else usual.units,
        "name": found.name[:80],
        "keys": keys.checked(data.get("keys", {}))[0],
    }
    return Settings(**{**asdict(found), **checked})


def save_settings(folder: Path, settings: Settings) -> str:
    """Written whole, then renamed; returns why it could not be, or ""."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        new = folder / f"{FILE}.new"
        new.write_text(json.dumps(asdict(settings), indent=1), encoding="utf-8")
        new.replace(folder / FILE)
    except OSError as error:
        return tr("Settings could not be saved: {why}.", why=error.strerror)
    return ""


def attempt_path(folder: Path, name: str, stamp: str) -> Path:
    """A file for a new attempt: scenario and when it was begun."""
    plain = "".join(c if c.isalnum() or c == "-" else "-" for c in Path(name).stem)[:60]
    found = folder / f"{plain}-{stamp}.att"
    n = 2
    while found.exists():
        found = folder / f"{plain}-{stamp}-{n}.att"
        n += 1
    return found
