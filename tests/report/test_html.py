"""The page as HTML: whole, self-contained, escaped, readable by keyboard and ear, in contrast."""

import re
from itertools import pairwise

import html5lib
import pytest

from tests.report.made import (
    NASTY,
    OFFERS,
    critical,
    done_well,
    finding,
    killed,
    mark,
    started,
)
from trainer.base.places import assets_dir
from trainer.report import html, palette
from trainer.report.assets import cautions
from trainer.report.comparing import compared
from trainer.report.page import QUESTION, debrief

WIRING = {
    "level": 5, "level_text": "not the circuit of the diagram", "join_f": 0.9, "edits": 2,
    "image": "the diagram", "sentences": ["A and B are exchanged."],
    "rows": [
        {"wire": "1", "colour": "BK", "from": "a.1", "to": "b.1", "wanted_from": "a.1",
         "wanted_to": "b.1", "same": True},
        {"wire": "31", "colour": "RD", "from": "a.2", "to": "b.2", "wanted_from": "",
         "wanted_to": "", "same": False},
        {"wire": "9", "colour": "", "from": "", "to": "", "wanted_from": "b.2",
         "wanted_to": "a.2", "same": False},
    ],
}  # fmt: skip


def page_of(words="A. Learner", events=None, ended="handed over", mode="practice"):
    rows = [finding(sentence=words), finding("W07", "W07", "workmanship", "not shown", (), ()),
            finding("P12 before WORK", "P12", outcome="met", sentence=words)]  # fmt: skip
    m = mark(rows, [critical(sentence=words)], [done_well(words)], learner=words, ended=ended,
             mode=mode, wiring={**WIRING, "sentences": [words]})  # fmt: skip
    return html.page(debrief(m, events or started(), None, OFFERS))


def comparison_of(words="A. Learner"):
    m = mark([finding(sentence=words)], learner=words)
    return html.comparison(compared((m, started()), (m, started()), ("a.att", words)))


PAGES = {
    "debrief": page_of, "ended": lambda: page_of(events=killed(), ended="death"),
    "nasty": lambda: page_of(NASTY), "comparison": comparison_of,
}  # fmt: skip


@pytest.fixture(params=PAGES, scope="module")
def text(request):
    return PAGES[request.param]()


SVG = "{http://www.w3.org/2000/svg}"


def tree(text):
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    return parser.parse(text), parser.errors


def test_it_is_valid(text):
    _, errors = tree(text)
    assert errors == []


def test_it_is_one_file_without_script_or_network(text):
    root, _ = tree(text)
    tags = {e.tag for e in root.iter()}
    assert not tags & {"script", f"{SVG}script", "link", "img", "iframe", "object", "embed", "base"}
    for element in root.iter():
        for name, value in element.attrib.items():
            assert not str(name).startswith("on")
            if name in ("src", "href", "action"):
                assert value.startswith("#")
    assert "url(" not in text and "@import" not in text


def test_headings_are_in_order_and_ids_are_one(text):
    root, _ = tree(text)
    tags = [e.tag for e in root.iter() if isinstance(e.tag, str)]
    levels = [int(tag[1]) for tag in tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    labels = [e.attrib["aria-labelledby"] for e in root.iter() if "aria-labelledby" in e.attrib]
    assert set(labels) <= set(ids)


def test_landmarks_and_the_skip_link(text):
    root, _ = tree(text)
    for tag in ("header", "main", "footer"):
        assert len(list(root.iter(tag))) == 1
    first = next(root.iter("a"))
    assert first.attrib["href"] == f"#{next(root.iter('main')).attrib['id']}"
    assert root.attrib["lang"] == "en"
    assert ":focus-visible" in text


def test_every_picture_has_words_and_every_table_heads(text):
    root, _ = tree(text)
    pictures = list(root.iter(f"{SVG}svg"))
    assert pictures or "Two attempts" in text
    for svg in pictures:
        assert svg.attrib.get("aria-hidden") == "true" or svg.attrib["aria-label"]
    for table in root.iter("table"):
        heads = list(table.iter("th"))
        assert heads and all(h.attrib.get("scope") in ("col", "row") for h in heads)


def test_what_scrolls_can_be_reached_by_keyboard(text):
    root, _ = tree(text)
    for e in root.iter("div"):
        if "scroll" in e.attrib.get("class", "").split():
            assert e.attrib["tabindex"] == "0" and e.attrib["aria-label"]


def test_what_people_wrote_comes_out_as_text():
    root, errors = tree(page_of(NASTY))
    assert errors == [] and not [e for e in root.iter() if "script" in str(e.tag)]
    words = ["".join(e.itertext()) for e in root.iter("dd")]
    assert any(NASTY in w for w in words)
    assert "49" not in "".join(next(root.iter("h1")).itertext())
    style = "".join(next(root.iter("style")).itertext())
    assert "<" not in style and 'alert("x")' not in style


def test_a_footer_cannot_leave_its_string():
    made = html.css_text('a"; } body { display: none \\ \n')
    assert '"' not in made and "}" not in made and "\n" not in made and ";" not in made


def test_the_order_of_the_page():
    text = page_of()
    body = text[text.index("<main") :]
    ids = re.findall(r'<h2 id="(\w+)"', body)
    assert ids[:8] == [
        "question", "critical", "well", "first", "did", "findings", "verdict", "wiring",
    ]  # fmt: skip
    assert "79.9" not in text[: text.index(QUESTION)]


def test_the_plain_page_of_an_ending_comes_first():
    text = page_of(events=killed(), ended="death")
    assert text.index('id="ending"') < text.index('id="question"')


def test_cautions_and_identity_on_every_printed_page(text):
    style = text[: text.index("</style>")]
    assert html.css_text(cautions().short) in style and "@bottom-left" in style
    for one in cautions().cautions:
        assert one.title.replace("'", "&#39;") in text


def test_identity_in_the_footer():
    text = page_of()
    end = text[text.index('<p class="end">') :]
    for words in ("wired", "seed 7", "A. Learner", "Wiring", "0123456789ab"):
        assert words in end


@pytest.mark.parametrize(("ink", "ground"), palette.PAIRS)
def test_text_can_be_read(ink, ground):
    # 4.5 to 1: WCAG 2.2, 1.4.3
    assert palette.contrast(ink, ground) >= 4.5


@pytest.mark.parametrize("line", [palette.ACTION, palette.DANGER, palette.GHOST, palette.INK])
def test_lines_that_mean_something_can_be_seen(line):
    # 3 to 1: WCAG 2.2, 1.4.11
    assert palette.contrast(line, palette.PAPER) >= 3.0


def test_contrast_of_black_and_white():
    # 21 to 1: WCAG 2.2, definition of contrast ratio
    assert palette.contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


def test_the_style_uses_no_colour_of_its_own():
    style = (assets_dir() / "report" / "page.css").read_text(encoding="utf-8")
    assert set(re.findall(r"#[0-9A-Fa-f]{3,6}\b", style)) <= {"#FFFFFF"}


def test_status_is_a_word_and_a_shape():
    root, _ = tree(page_of())
    found = [e for e in root.iter("span") if "mark-word" in e.attrib.get("class", "")]
    assert found
    for e in found:
        assert list(e.iter(f"{SVG}svg")) and "".join(e.itertext()).strip()
