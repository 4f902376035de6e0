"""Pages of a class: whole, self-contained, escaped, with words for every shape, at every size."""

import re
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.classroom.invented import PEOPLE, T0
from tests.outside import examples
from tests.report.class_pages import CLASSES, PAGES, SEEN, figures_12, page_of
from tests.report.made import NASTY
from tests.report.test_html import (  # what holds for every page of the house
    SVG,
    test_cautions_and_identity_on_every_printed_page,  # noqa: F401
    test_every_picture_has_words_and_every_table_heads,
    test_headings_are_in_order_and_ids_are_one,  # noqa: F401
    test_it_is_one_file_without_script_or_network,  # noqa: F401
    test_it_is_valid,  # noqa: F401
    test_landmarks_and_the_skip_link,  # noqa: F401
    test_what_scrolls_can_be_reached_by_keyboard,  # noqa: F401
    tree,
)
from trainer.classroom.figures import Item
from trainer.report.class_html import class_page
from trainer.report.class_plots import Dot, bar, totals
from trainer.report.class_report import Called, report, title_of

_pictures = test_every_picture_has_words_and_every_table_heads
del test_every_picture_has_words_and_every_table_heads


@pytest.fixture(params=PAGES, scope="module")
def text(request):
    return page_of(request.param)


def body_of(text):
    return "".join(tree(text)[0].find("body").itertext())


@pytest.mark.parametrize("name", [n for n in PAGES if n != "class-0"])
def test_every_picture_has_words(name):
    _pictures(page_of(name))


def test_a_class_without_learners_or_marks_says_so():
    said = body_of(page_of("class-0"))
    assert "Nobody is enrolled" in said and "No mark yet" in said and "nan" not in said.lower()


def test_one_learner_has_no_reliability_and_no_discrimination():
    said = body_of(page_of("class-1"))
    assert "no reliability can be told" in said and "hardly more than chance" in said
    assert "1 not safe yet" in " ".join(said.split()) and "alpha" not in said


@pytest.mark.parametrize("learners", [2, 9, 11])
def test_of_too_few_learners_no_figure_is_told(learners):
    """Section 1.7: of a class of twelve the interval and n are printed with alpha, or nothing."""
    name = f"class-{learners}"
    CLASSES[name] = tuple((SEEN[(n + 1) % len(SEEN)],) for n in range(learners))
    said = " ".join(body_of(page_of(name)).split())
    assert f"too few to say: n = {learners} learners of 12 at least" in said
    assert "95 % interval" not in said and "points, n =" not in said
    assert not re.search(r"learners got [\d.]+ %|correlation with the rest is", said)
    items = [
        [cell.text for cell in row.iter("td")]
        for table in tree(page_of(name))[0].iter("table") if table.attrib["class"] == "items"
        for row in table.find("tbody")
    ]  # fmt: skip
    assert items and {cell for _, *row in items for cell in row} <= {"too few", "–"}


def test_a_rule_is_one_of_order_only_where_a_step_comes_first():
    """Words of an item may have a 'before' of their own."""
    item = Item(
        "labelled before they come off", "P22", "records", 1, (), 0, "", "", "", "minor", None
    )
    assert title_of(item) == "Labelled before they come off"
    assert title_of(replace(item, rule="P22 before WORK")).endswith(", before hands go in")


def test_from_twelve_on_they_are_told():
    CLASSES["class-of-12"] = tuple((SEEN[n % len(SEEN)],) for n in range(12))
    assert "n = 12 learners, k =" in body_of(page_of("class-of-12"))


def test_an_interval_and_n_stand_with_every_reliability():
    said = body_of(page_of("class-16"))
    assert re.search(
        r"\d\.\d\d, 95 % interval -?\d\.\d\d to \d\.\d\d, n = 16 learners, k = \d+", said
    )
    assert "check this item" in said and "bad item" not in said


def test_hostile_names_are_text():
    root, errors = tree(page_of("class-12"))
    assert errors == [] and not list(root.iter("b"))
    assert "<b>Tag</b> Invented" in "".join(root.find("body").itertext())


@settings(max_examples=examples(12), deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Cn", "Co"]), min_size=1, max_size=40))
def test_any_name_comes_out_as_it_is(name):
    page = class_page(
        report(figures_12(), T0, lambda e: Called(f"{NASTY} {name}", e.who.learner_id))
    )
    root, errors = tree(page)
    assert errors == [] and not [e for e in root.iter() if "script" in str(e.tag)]
    cells = ["".join(e.itertext()) for e in root.iter("th")]
    assert any(cell.startswith(f"{NASTY} {name} (L-0009)") for cell in cells)


def test_blind_pages_name_nobody():
    said = page_of("blind")
    for learner, _, family in PEOPLE[:12]:
        assert learner not in said and family not in said


def test_groups_are_words_and_shapes():
    root, _ = tree(page_of("class-16"))
    words = {"".join(e.itertext()).strip() for e in root.iter("span")
             if "mark-word" in e.attrib.get("class", "") and list(e.iter(f"{SVG}svg"))}  # fmt: skip
    assert {"ready", "not safe yet"} <= words


def test_marks_on_the_line_lie_on_no_other():
    dots = [Dot(100.0, "ready")] * 5 + [Dot(99.0, "unsafe"), Dot(50.0, "safe"), Dot(0.0, "unsafe")]
    drawn = totals(dots, 85.0, 760.0, "wide")
    found = re.findall(r'<polygon points="([^"]+)"', drawn)
    middles = []
    for points in found:
        xy = [tuple(map(float, p.split(","))) for p in points.split()]
        middles.append(tuple(sum(axis) / len(xy) for axis in zip(*xy)))
    assert len(middles) == 8
    for n, (x, y) in enumerate(middles):
        assert all(abs(x - a) >= 12 or abs(y - b) >= 12 for a, b in middles[:n])


def test_a_bar_of_nobody_and_a_bar_in_words():
    assert 'aria-label="2 of 9 not met, 1 not shown"' in bar(2, 1, 9)
    assert "bar-wrong" not in bar(0, 0, 0)
