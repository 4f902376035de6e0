"""Pages of a class and a comparison are told in the language asked for; what people wrote is not.

Stays English: names of files and types, codes of steps, the lines of a rubric as they are written.
"""

import re

import pytest

from tests.classroom.invented import PEOPLE
from tests.outside import share
from tests.report.class_pages import page_of
from tests.report.test_commands import play
from tests.report.test_html import tree
from tests.report.test_in_spanish import english_in
from trainer.cli.main import main

#: What stands in a rubric or a trail as it is written there, and what the invented class is called.
WRITTEN = re.compile(
    r"row/|rubric/|P\d+ before|before (WORK|TEST|RESTORE)|Class of|dead, graded|and proved"
)


def pieces(page):
    """Texts of a page, each as it stands in one element; nothing of the style sheet."""
    body = tree(page)[0].find("body")
    found = []
    for element in body.iter():
        if isinstance(element.tag, str) and element.tag != "style":
            found += [element.text or "", *(child.tail or "" for child in element)]
            found += [element.attrib.get("aria-label", "")]
    return [" ".join(text.split()) for text in found if text and text.strip()]


def english_of(page):
    return [t for t in dict.fromkeys(pieces(page)) if english_in(t) and not WRITTEN.search(t)]


@pytest.mark.parametrize("name", share(["class-0", "class-12", "class-16", "evidence"], 2, 1))
def test_a_page_of_a_class_is_spanish_from_end_to_end(name):
    page = page_of(name, "es")
    assert '<html lang="es">' in page
    assert english_of(page) == []
    assert english_of(page_of(name))


def test_figures_and_sources_are_the_same_in_any_language():
    def sources(page):
        return re.findall(r'data-from="([^"]*)"', page)

    def numbers(page):
        return sorted(re.findall(r"\d+(?:\.\d+)?", " ".join(pieces(page))))

    assert sources(page_of("evidence", "es")) == sources(page_of("evidence"))
    assert numbers(page_of("class-16", "es")) == numbers(page_of("class-16"))


@pytest.mark.parametrize("name", ["class-16", "evidence"])
def test_only_what_is_read_is_translated(name):
    """Classes of the style sheet, ids and references are the same."""

    def attributes(page):
        return [
            (
                element.tag,
                {k: v for k, v in element.attrib.items() if k not in ("aria-label", "lang")},
            )
            for element in tree(page)[0].iter()
        ]

    assert attributes(page_of(name, "es")) == attributes(page_of(name))


def test_what_people_are_called_is_never_translated():
    said = " ".join(pieces(page_of("class-12", "es")))
    for learner, given, family in PEOPLE[:12]:
        assert learner in said and f"{given} {family}".strip() in said


def test_a_comparison_is_spanish(tmp_path, capsys):
    a = play(tmp_path, "make-it-dead", "wrong-ohms-on-the-line", "ohms")
    b = play(tmp_path, "make-it-dead", "wrong-thermostat-off-only", "off")
    page = tmp_path / "c.html"
    assert main(["compare", str(a), str(b), "--lang", "es", "-o", str(page)]) == 0
    told = page.read_text(encoding="utf-8")
    assert english_of(told) == [] and "Not met" not in told
    capsys.readouterr()
    assert main(["compare", str(a), str(b), "--lang", "es"]) == 0
    assert [line for line in english_in(capsys.readouterr().out) if ".attempt" not in line] == []
    assert main(["compare", str(a), str(b), "--lang", "xx"]) == 2
