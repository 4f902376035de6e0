"""Pages of a class in a real browser: nothing wider than the screen, a footer on every sheet."""

import re
import subprocess

import pytest

from tests.report.class_pages import page_of
from tests.report.test_browser import PDFTOTEXT, PROBE, browse, pytestmark  # noqa: F401
from trainer.report.assets import cautions


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("class-pages")
    for name in ("class-16", "evidence"):
        (folder / f"{name}.html").write_text(page_of(name), encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", ["class-16", "evidence"])
@pytest.mark.parametrize("width", [1280, 420])
def test_nothing_is_wider_than_the_screen(pages, name, width):
    probe = pages / f"probe-{name}-{width}.html"
    probe.write_text(PROBE.format(name=f"{name}.html", width=width), encoding="utf-8")
    dom = browse(pages, "--virtual-time-budget=4000", "--dump-dom", probe.as_uri())
    found = re.search(r"<title>width (\d+) wide \[(.*?)\]</title>", dom)
    assert found, dom[:400]
    assert found[2] == "" and int(found[1]) <= width


@pytest.mark.parametrize(("name", "last"), [("class-16", "Did some have it harder?"),
                                            ("evidence", "The events that count")])  # fmt: skip
def test_every_sheet_carries_caution_identity_and_number(pages, name, last):
    pdf = pages / f"{name}.pdf"
    browse(pages, f"--print-to-pdf={pdf}", "--no-pdf-header-footer",
           (pages / f"{name}.html").as_uri())  # fmt: skip
    plain = subprocess.run(
        [PDFTOTEXT, "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = plain.rstrip("\f").split("\f")
    assert len(sheets) > 2 and last in plain
    for n, sheet in enumerate(sheets, 1):
        words = " ".join(sheet.split())
        assert cautions().short[:60] in words and "dead-1" in words
        assert re.search(rf"\b{n} ?/ ?{len(sheets)}\b", words)
