"""Gathers every text of the window and brings the catalogues up to date: ``python -m
tests.view.catalogue`` keeps what is translated, adds new texts empty, and compiles.

Texts in the source are found by their marks ``tr``, ``later`` and ``_``; words of tables are read
from the tables. Knows marks and tables; must know no screen.
"""

import ast
import io
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_args

import yaml
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from trainer.base.places import assets_dir, scenarios_dir
from trainer.demo.dials import dials_of
from trainer.instruments.table import INSTRUMENTS
from trainer.scenario.readings import Meaning
from trainer.session.acts import ACTS
from trainer.study.load import load_study
from trainer.unit.faults import FAULTS
from trainer.unit.layout import layout_names, load_layout
from trainer.view.forms import fields_of
from trainer.view.guiding import guide
from trainer.view.language import DOMAIN, LANGUAGES
from trainer.view.theme import themes

VIEW = Path(__file__).resolve().parents[2] / "trainer" / "view"
MARKS = ("tr", "later", "_")
#: No clock: a catalogue changes only when a text does.
ALWAYS = datetime(2000, 1, 1, tzinfo=UTC)
#: A text is known by its kind, "" where it has none, and its English.
Key = tuple[str, str]


def marked(source: str) -> Iterator[str]:
    """Literal texts that a source marks."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            first = node.args[:1] if node.func.id in MARKS else []
            for text in first:
                yield from _literals(text)


def _literals(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _literals(node.body)
        yield from _literals(node.orelse)


def texts() -> dict[Key, list[str]]:
    """Every text and where it stands."""
    found: dict[Key, list[str]] = {}
    for path in sorted(VIEW.rglob("*.py")):
        for text in marked(path.read_text(encoding="utf-8")):
            places = found.setdefault(("", text), [])
            name = f"trainer/view/{path.relative_to(VIEW).as_posix()}"
            places += [] if name in places else [name]
    for kind, text, place in _of_tables():
        found.setdefault((kind, text), []).append(place)
    return {key: places for key, places in found.items() if key[1]}


def _of_tables() -> Iterator[tuple[str, str, str]]:
    for say in guide().acts.values():
        for text in (say.say, say.why, say.how):
            yield "", text, "assets/guide.yaml"
    for palette in themes().palettes.values():
        yield "", palette["called"], "assets/themes.yaml"
    for kind, words, place in TABLES:
        for word in dict.fromkeys(words()):
            yield kind, word, place


def _acts() -> list[str]:
    return [*ACTS, "fault"]


def _fields() -> list[str]:
    return sorted({name for act in ACTS for name, *_ in fields_of(act)})


def _choices() -> list[str]:
    return sorted({c for act in ACTS for _, choices, *_ in fields_of(act) for c in choices})


def _parts() -> list[str]:
    text = (assets_dir() / "parts.yaml").read_text(encoding="utf-8")
    arts: dict[str, Any] = yaml.safe_load(text)["arts"]
    return [art["called"] for art in arts.values()]


def _covers() -> list[str]:
    return sorted({cover for name in layout_names() for cover in load_layout(name).covers})


def _dials() -> list[str]:
    folder = scenarios_dir() / "studies"
    names = [p.stem for p in sorted(folder.glob("*.yaml")) if _is_study(p)]
    return [dial.words for name in names for dial in dials_of(load_study(name))]


def _is_study(path: Path) -> bool:
    lines = path.read_text(encoding="utf-8").splitlines()
    return any(line.startswith("study:") for line in lines)


#: Kind, its words, and where they stand.
TABLES = (
    ("act", _acts, "trainer/session/acts.py"),
    ("field", _fields, "trainer/session/acts.py"),
    ("choice", _choices, "trainer/session/acts.py"),
    ("meaning", lambda: list(get_args(Meaning)), "trainer/scenario/readings.py"),
    ("part", _parts, "assets/parts.yaml"),
    ("cover", _covers, "scenarios/layouts"),
    ("condition", lambda: [f.name for f in FAULTS.values()], "trainer/unit/faults.py"),
    ("instrument", lambda: [*INSTRUMENTS, *(k.name for k in INSTRUMENTS.values()), "scope"],
     "trainer/instruments/table.py"),
    ("setting", lambda: [s for k in INSTRUMENTS.values() for s in k.settings],
     "trainer/instruments/table.py"),
    ("dial", _dials, "trainer/demo/dials.py"),
)  # fmt: skip


def po_path(language: str) -> Path:
    return assets_dir() / "language" / language / "LC_MESSAGES" / f"{DOMAIN}.po"


def translated(language: str) -> dict[Key, str]:
    """What a catalogue holds, also empty."""
    with po_path(language).open("rb") as source:
        return {(m.context or "", str(m.id)): str(m.string) for m in read_po(source) if m.id}


def updated(language: str) -> Catalog:
    """Today's texts with the translations there are."""
    before = translated(language) if po_path(language).is_file() else {}
    made = Catalog(
        language, project="Condenser Bench", version="1",
        creation_date=ALWAYS, revision_date=ALWAYS,
        header_comment="# Texts of the window. Written by: python -m tests.view.catalogue",
        msgid_bugs_address="none", last_translator="the Condenser Bench authors",
        language_team="the Condenser Bench authors", fuzzy=False, charset="utf-8",
    )  # fmt: skip
    for (kind, text), places in sorted(texts().items()):
        where = [(place, 0) for place in dict.fromkeys(places)]
        made.add(text, before.get((kind, text), ""), where, context=kind or None)
    return made


def compiled(language: str) -> bytes:
    """The catalogue as the program reads it."""
    with po_path(language).open("rb") as source:
        catalog = read_po(source, locale=language)
    target = io.BytesIO()
    write_mo(target, catalog)
    return target.getvalue()


def main() -> None:
    for language in (n for n in LANGUAGES if n != "en"):
        path = po_path(language)
        path.parent.mkdir(parents=True, exist_ok=True)
        made = updated(language)
        with path.open("wb") as target:
            write_po(target, made, width=100, include_lineno=False)
        path.with_suffix(".mo").write_bytes(compiled(language))
        empty = sum(not m.string for m in made if m.id)
        print(f"{language}: {len(made)} texts, {empty} not translated yet")


if __name__ == "__main__":
    main()
