"""Commands of the window and their keys: the usual ones, and a person's own.

Everything behind this file speaks of usual keys; what was pressed is turned into the usual key of
the command it stands for. A chord is written as in ``ctrl+z``. Pure; knows no toolkit.
"""

from __future__ import annotations

from collections.abc import Mapping

from trainer.view.language import later as _
from trainer.view.language import tr

#: Command -> its usual key and what it does.
COMMANDS: Mapping[str, tuple[str, str]] = {
    "next": ("tab", _("To the next thing")),
    "previous": ("shift+tab", _("To the thing before")),
    "area": ("f6", _("To the next area")),
    "area before": ("shift+f6", _("To the area before")),
    "left": ("left", _("To the left")),
    "right": ("right", _("To the right")),
    "up": ("up", _("Upwards")),
    "down": ("down", _("Downwards")),
    "do": ("return", _("Do what has the focus")),
    "do too": ("space", _("Do it, a second key")),
    "lay down": ("escape", _("Lay down, close, go back")),
    "undo": ("ctrl+z", _("Take back the last act")),
    "closer": ("+", _("Board larger")),
    "farther": ("-", _("Board smaller")),
    "page on": ("pagedown", _("A page on")),
    "page back": ("pageup", _("A page back")),
    "first": ("home", _("A slider to its beginning")),
    "last": ("end", _("A slider to its end")),
}
USUAL = {name: chord for name, (chord, _words) in COMMANDS.items()}
#: Keys that are one, and keys that are another only with shift on some keyboards.
SAME = {"=": "+", "plus": "+", "minus": "-"}
SHIFTLESS = ("+", "-")
#: Keys with a word of their own.
WORDS = {
    "tab": _("Tab"), "return": _("Enter"), "space": _("Space"), "escape": _("Escape"),
    "left": "←", "right": "→", "up": "↑", "down": "↓", "pageup": _("Page up"),
    "pagedown": _("Page down"), "home": _("Home key"), "end": _("End key"), "backspace": _("Backspace"),
    "delete": _("Delete"), "insert": _("Insert"), "shift": _("Shift"), "ctrl": "Ctrl", "-": "−",
}  # fmt: skip
#: Keys that are no chord of their own, and those a line to type into needs itself.
NEVER = ("", "shift", "ctrl", "alt", "backspace", "delete")
#: Offered to pick by clicks, as far as they are free.
OFFERED = (
    *(f"f{n}" for n in range(2, 13)),
    "insert",
    "ctrl+y",
    "ctrl+b",
    "ctrl+e",
    "ctrl+g",
    "ctrl+k",
)
LONGEST = 24


def chord_of(key: str, shift: bool, ctrl: bool) -> str:
    """A key by its name, with what is held, as one word."""
    key = SAME.get(key, key)
    shifted = "shift+" if shift and key not in SHIFTLESS else ""
    return f"{'ctrl+' if ctrl else ''}{shifted}{key}"


def chords(own: Mapping[str, str]) -> dict[str, str]:
    """Command -> its key, a person's own before the usual one."""
    return {**USUAL, **{name: chord for name, chord in own.items() if name in USUAL}}


def meant(own: Mapping[str, str], key: str, shift: bool, ctrl: bool) -> tuple[str, bool, bool]:
    """The usual key of the command that was pressed; key "" when its place was given away."""
    if not own:
        return key, shift, ctrl
    pressed = chord_of(key, shift, ctrl)
    now = chords(own)
    command = next((name for name, chord in now.items() if chord == pressed), None)
    if command is not None:
        return _parted(USUAL[command])
    if pressed in USUAL.values():
        return "", shift, ctrl
    return key, shift, ctrl


def _parted(chord: str) -> tuple[str, bool, bool]:
    ctrl = chord.startswith("ctrl+")
    rest = chord.removeprefix("ctrl+")
    shift = rest.startswith("shift+")
    return rest.removeprefix("shift+"), shift, ctrl


def stands_for(own: Mapping[str, str], key: str, shift: bool, ctrl: bool) -> bool:
    """Whether a person gave this key to a command."""
    return chord_of(key, shift, ctrl) in own.values()


def given(own: Mapping[str, str], command: str, chord: str) -> tuple[dict[str, str], str]:
    """(keys with this one given to a command, or why that cannot be)."""
    now = chords(own)
    key = _parted(chord)[0]
    if key in NEVER or len(chord) > LONGEST:
        return dict(own), tr(
            "{key} cannot be the key of a command. Press another.", key=shown(chord)
        )
    holder = next((n for n, c in now.items() if c == chord and n != command), None)
    if holder is not None:
        words = tr("{key} is already the key for: {what}. Press another, or change that one first.",
                   key=shown(chord), what=tr(COMMANDS[holder][1]))  # fmt: skip
        return dict(own), words
    kept = {n: c for n, c in own.items() if n != command}
    return (kept if chord == USUAL[command] else {**kept, command: chord}), ""


def shown(chord: str) -> str:
    """A chord as it is printed on keys."""
    key, shift, ctrl = _parted(chord)
    word = tr(WORDS[key]) if key in WORDS else key.upper() if len(key) < 4 else key.capitalize()
    held = [WORDS["ctrl"]] * ctrl + [tr(WORDS["shift"])] * shift
    return " + ".join([*held, word])


def free(own: Mapping[str, str]) -> list[str]:
    """Keys that can be picked by clicks because nothing has them."""
    taken = set(chords(own).values())
    return [chord for chord in OFFERED if chord not in taken]


def checked(found: object) -> tuple[dict[str, str], bool]:
    """(a person's keys as a file has them, whether all of them are good); bad ones make all usual."""
    if not isinstance(found, dict):
        return {}, False
    own: dict[str, str] = {}
    for name, chord in found.items():
        if name not in USUAL or not isinstance(chord, str) or _parted(chord)[0] in NEVER:
            return {}, False
        key = _parted(chord)[0]
        if (
            len(chord) > LONGEST
            or chord != chord_of(*_parted(chord))
            or ("+" in key and key != "+")
        ):
            return {}, False
        own[name] = chord
    now = chords(own)
    return (own, True) if len(set(now.values())) == len(now) else ({}, False)
