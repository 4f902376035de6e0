"""A debrief is told in the language asked for: text and page, of attempts that were really played.

What stays English has a reason each: names of scenarios and rubrics, and what is printed.
"""

import re
from pathlib import Path

import pytest

from tests.report.test_commands import play
from trainer.base.tongue import speaking
from trainer.cli.main import main

#: Words that no Spanish sentence of a debrief has. "in" and "no" are left out, both are.
ENGLISH = re.compile(
    r"\b(the|and|with|without|before|after|was|were|is|are|not|wire|shown|taken|read|hands|"
    r"start|from|this|that|which|event|points|of|to|on|at)\b"
)
#: What is an identifier: a scenario's name, a file of it.
NAMES = re.compile(r"[a-z]+(?:-[a-z]+)+")


@pytest.fixture(scope="module")
def attempts(tmp_path_factory):
    place = tmp_path_factory.mktemp("attempts")
    return [
        play(place, "make-it-dead", "wrong-ohms-on-the-line", "ohms"),
        play(place, "hum-and-no-turn", "wrong-thumb-on-the-line-side", "thumb"),
    ]


def english_in(text):
    return [line for line in text.splitlines() if ENGLISH.search(NAMES.sub("", line))]


def test_english_is_seen():
    assert english_in("Hands went in before it was safe.") != []
    assert english_in("Las manos entraron en make-it-dead.") == []


def test_the_text_is_spanish_from_end_to_end(attempts, capsys):
    for path in attempts:
        assert main(["debrief", str(path), "--lang", "es", "--all"]) == 0
        told = capsys.readouterr().out
        assert "LO PRIMERO QUE FALLÓ" in told
        assert english_in(told) == []


def test_the_page_says_its_language(attempts, tmp_path):
    page = tmp_path / "page.html"
    for lang, title in (("es", "Línea de tiempo"), ("en", "Timeline")):
        assert main(["debrief", str(attempts[0]), "--lang", lang, "-o", str(page)]) == 0
        markup = Path(page).read_text(encoding="utf-8")
        assert f'<html lang="{lang}">' in markup and f">{title}<" in markup
        body = re.sub(r"<[^>]+>", "\n", markup[markup.index("</style>") :])
        assert bool(english_in(body)) == (lang == "en")


def test_a_mark_is_the_same_in_any_language(attempts, capsys):
    told = []
    for lang in ("en", "es"):
        assert main(["debrief", str(attempts[0]), "--lang", lang, "--json"]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]


def test_a_language_nobody_has_is_refused(attempts, capsys):
    assert main(["debrief", str(attempts[0]), "--lang", "xx"]) != 0
    assert "no language" in capsys.readouterr().err


def test_the_language_does_not_stay(attempts, capsys):
    with speaking("es"):
        pass
    assert main(["debrief", str(attempts[0])]) == 0
    assert "THE FIRST THING THAT BROKE" in capsys.readouterr().out
