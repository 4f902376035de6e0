"""Gathers every text that is shown and brings the catalogues up to date: ``python -m
tests.view.catalogue`` keeps what is translated, adds new texts empty, and compiles.

Three domains: the window's own texts; what bench, marks and reports say; shipped jobs, studies and
sites. Texts in the source are found by their marks ``tr``, ``later`` and ``_``, sentences of
modules that speak by ``spoken``; words of tables are read from the tables. Knows marks and tables;
must know no screen.
"""

import ast
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, get_args

import yaml
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tests.view import shipped
from tests.view.spoken import modules, sentences
from trainer.base.places import assets_dir, scenarios_dir
from trainer.base.tongue import DOMAINS
from trainer.demo.dials import dials_of
from trainer.instruments.table import INSTRUMENTS
from trainer.report.class_rows import CODES
from trainer.scenario.readings import Meaning
from trainer.session.acts import ACTS
from trainer.study.load import load_study
from trainer.unit.faults import FAULTS
from trainer.unit.layout import layout_names, load_layout
from trainer.view.forms import fields_of
from trainer.view.guiding import guide
from trainer.view.language import DOMAIN, LANGUAGES
from trainer.view.theme import themes

ROOT = Path(__file__).resolve().parents[2] / "trainer"
VIEW = ROOT / "view"
MARKS = ("tr", "later", "_")
#: How a mark looks in the text of a source.
MARKED = re.compile(rf"\b(?:{'|'.join(MARKS)})\s*\(")
#: A text of a page's template.
SHOWN = re.compile(r"\b_\(\"([^\"]+)\"")
#: No clock: a catalogue changes only when a text does.
ALWAYS = datetime(2000, 1, 1, tzinfo=UTC)
#: A text is known by its kind, "" where it has none, and its English.
Key = tuple[str, str]


def marked(source: str) -> Iterator[str]:
    """Literal texts that a source marks; one that has no mark is not parsed."""
    if not MARKED.search(source):
        return
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


@cache
def texts(domain: str = DOMAIN) -> Mapping[Key, list[str]]:
    """Every text of a domain and where it stands, gathered once."""
    found: dict[Key, list[str]] = {}
    for kind, text, place in OF[domain]():
        places = found.setdefault((kind, text), [])
        places += [] if place in places else [place]
    return MappingProxyType({key: places for key, places in found.items() if key[1]})


def every_text() -> set[Key]:
    """Those of all domains."""
    return {key for domain in DOMAINS for key in texts(domain)}


def _of_window() -> Iterator[tuple[str, str, str]]:
    yield from _marked_in(sorted(VIEW.rglob("*.py")))
    yield from _of_tables()


def _marked_in(paths: Sequence[Path]) -> Iterator[tuple[str, str, str]]:
    for path in paths:
        for text in marked(path.read_text(encoding="utf-8")):
            yield "", text, f"trainer/{path.relative_to(ROOT).as_posix()}"


def _of_bench() -> Iterator[tuple[str, str, str]]:
    below = [p for p in sorted(ROOT.rglob("*.py")) if VIEW not in p.parents]
    yield from _marked_in(below)
    for path in sorted((assets_dir() / "report").glob("*.html")):
        for text in SHOWN.findall(path.read_text(encoding="utf-8")):
            yield "", text, f"assets/report/{path.name}"
    for path in modules():
        for text in sentences(path.read_text(encoding="utf-8")):
            yield "", text, f"trainer/{path.relative_to(ROOT).as_posix()}"
    for code in CODES:
        yield "code", code, "trainer/report/class_rows.py"
    yield from shipped.of_bench()


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


#: Where the texts of a domain come from.
OF: dict[str, Callable[[], Iterator[tuple[str, str, str]]]] = {
    DOMAIN: _of_window, "bench": _of_bench, "jobs": shipped.of_jobs,
}  # fmt: skip


def po_path(language: str, domain: str = DOMAIN) -> Path:
    return assets_dir() / "language" / language / "LC_MESSAGES" / f"{domain}.po"


def translated(language: str, domain: str = DOMAIN) -> dict[Key, str]:
    """What a catalogue holds, also empty."""
    path = po_path(language, domain)
    if not path.is_file():
        return {}
    with path.open("rb") as source:
        return {(m.context or "", str(m.id)): str(m.string) for m in read_po(source) if m.id}


#: The head of a catalogue is its glossary, from a file beside it.
HEAD = "# {what}. Written by: python -m tests.view.catalogue\n#\n{glossary}"
WHAT = {
    DOMAIN: "Texts of the window",
    "bench": "What bench, marks and reports say",
    "jobs": "Shipped jobs, studies and sites",
}


def glossary(language: str) -> str:
    """Words of the trade as this language has them, for whoever translates more."""
    path = assets_dir() / "language" / language / "glossary.txt"
    lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    return "\n".join(f"# {line}".rstrip() for line in lines)


def updated(language: str, domain: str = DOMAIN) -> Catalog:
    """Today's texts with the translations there are, those of other domains too."""
    before: dict[Key, str] = {}
    for name in (*(d for d in DOMAINS if d != domain), domain):
        before |= {key: text for key, text in translated(language, name).items() if text}
    made = Catalog(
        language, project="Condenser Bench", version="1",
        creation_date=ALWAYS, revision_date=ALWAYS,
        header_comment=HEAD.format(what=WHAT[domain], glossary=glossary(language)),
        msgid_bugs_address="none", last_translator="the Condenser Bench authors",
        language_team="the Condenser Bench authors", fuzzy=False, charset="utf-8",
    )  # fmt: skip
    for (kind, text), places in sorted(texts(domain).items()):
        where = [(place, 0) for place in dict.fromkeys(places)]
        made.add(text, before.get((kind, text), ""), where, context=kind or None)
    return made


def compiled(language: str, domain: str = DOMAIN) -> bytes:
    """The catalogue as the program reads it."""
    with po_path(language, domain).open("rb") as source:
        catalog = read_po(source, locale=language)
    target = io.BytesIO()
    write_mo(target, catalog)
    return target.getvalue()


def main() -> None:
    for language in (n for n in LANGUAGES if n != "en"):
        for domain in DOMAINS:
            path = po_path(language, domain)
            path.parent.mkdir(parents=True, exist_ok=True)
            made = updated(language, domain)
            with path.open("wb") as target:
                write_po(target, made, width=100, include_lineno=False)
            path.with_suffix(".mo").write_bytes(compiled(language, domain))
            empty = sum(not m.string for m in made if m.id)
            print(f"{language}, {domain}: {len(made)} texts, {empty} not translated yet")


if __name__ == "__main__":
    main()
