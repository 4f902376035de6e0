"""The pages in a real browser: nothing wider than a narrow screen, and print with every footer."""

import re
import shutil
import subprocess

import pytest

from tests.outside import only_in_ci
from tests.report.test_html import comparison_of, page_of
from trainer.report.assets import cautions

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PDFTOTEXT = shutil.which("pdftotext")
pytestmark = only_in_ci
#: What a page does when it is shown in a frame of a given width: its own width, and what is wider.
PROBE = """<!DOCTYPE html><html><body><iframe src="{name}" style="width:{width}px;height:900px;
border:0"></iframe><script>
document.querySelector("iframe").onload = e => {{
  const d = e.target.contentDocument, found = [];
  for (const x of d.querySelectorAll("h1,h2,h3,p,li,dd,dt,figure,summary,section"))
    if (x.getBoundingClientRect().right > {width} + 1) found.push(x.tagName + ":" + x.className);
  document.title = "width " + d.documentElement.scrollWidth + " wide [" + found.join(" ") + "]";
}};</script></body></html>"""


def browse(folder, *words):
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
             "--allow-file-access-from-files", f"--user-data-dir={folder / 'profile'}"]  # fmt: skip
    run = subprocess.run(
        [CHROMIUM, *flags, *words], capture_output=True, text=True, timeout=120, check=False
    )
    assert run.returncode == 0, run.stderr[-2000:]
    return run.stdout


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    (folder / "debrief.html").write_text(page_of(), encoding="utf-8")
    (folder / "long.html").write_text(page_of("Long-name-without-a-gap" * 8), encoding="utf-8")
    (folder / "comparison.html").write_text(comparison_of(), encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", ["debrief", "long", "comparison"])
@pytest.mark.parametrize("width", [1280, 420])
def test_nothing_is_wider_than_the_screen(pages, name, width):
    probe = pages / f"probe-{name}-{width}.html"
    probe.write_text(PROBE.format(name=f"{name}.html", width=width), encoding="utf-8")
    dom = browse(pages, "--virtual-time-budget=4000", "--dump-dom", probe.as_uri())
    found = re.search(r"<title>width (\d+) wide \[(.*?)\]</title>", dom)
    assert found, dom[:400]
    assert found[2] == "" and int(found[1]) <= width


@pytest.mark.parametrize("name", ["debrief", "comparison"])
@pytest.mark.parametrize(("paper", "points"), [("A4", "841.9"), ("letter", "612 x 792")])
def test_print_carries_caution_and_identity_on_every_page(pages, name, paper, points):
    text = (pages / f"{name}.html").read_text(encoding="utf-8")
    sized = pages / f"{name}-{paper}.html"
    sized.write_text(text.replace("</style>", f"@page {{ size: {paper} }}</style>"), "utf-8")
    pdf = sized.with_suffix(".pdf")
    browse(pages, f"--print-to-pdf={pdf}", "--no-pdf-header-footer", sized.as_uri())
    plain = subprocess.run(
        [PDFTOTEXT, "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = plain.rstrip("\f").split("\f")
    assert len(sheets) > 1
    for n, sheet in enumerate(sheets, 1):
        words = " ".join(sheet.split())
        assert cautions().short[:60] in words
        assert "0123456789ab" in words and re.search(rf"\b{n} ?/ ?{len(sheets)}\b", words)
    info = subprocess.run(["pdfinfo", str(pdf)], capture_output=True, text=True, check=True).stdout
    assert points in info


def test_what_was_folded_is_printed(pages):
    pdf = pages / "all.pdf"
    page = (pages / "debrief.html").as_uri()
    browse(pages, f"--print-to-pdf={pdf}", "--no-pdf-header-footer", page)
    plain = subprocess.run(
        [PDFTOTEXT, "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "as on the diagram" in plain and "2 for" not in plain
    assert "31 for 9" in " ".join(plain.split())
