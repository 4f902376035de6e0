"""Pages as one self-contained HTML file: inline style and pictures, no script, no network.

Everything a person wrote is escaped, in markup and in the style sheet's strings. Knows Jinja and
the shape of a page; must know no rule.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from jinja2 import pass_context
from markupsafe import Markup, escape

from trainer.base.places import assets_dir
from trainer.base.retold import again, spelt
from trainer.base.tongue import capital, later, spoken, tr
from trainer.report import palette, startplot, timeline
from trainer.report.assets import Cautions
from trainer.report.assets import cautions as house_cautions
from trainer.report.comparing import Compared
from trainer.report.page import QUESTION, Debrief
from trainer.session.text import clock

if TYPE_CHECKING:
    from jinja2 import Environment

#: Widths of drawings: for a desk and paper, and for a narrow screen [units].
WIDE, SLIM = 760.0, 380.0
COLOURS = {name: value for name, value in vars(palette).items() if str(value).startswith("#")}
#: Longest text in a printed footer.
FOOTER_MOST = 160
#: Heading over the findings told at once, by their number and whether one was told before them.
TAKE_ALONG = {
    (1, False): later("One thing to take along"), (1, True): later("One thing more to take along"),
    (2, False): later("Two things to take along"),
    (2, True): later("Two things more to take along"),
    (3, False): later("Three things to take along"),
    (3, True): later("Three things more to take along"),
}  # fmt: skip


def page(d: Debrief) -> str:
    """The debrief as a file."""
    plots, strips = {}, {}
    for css, width in (("wide", WIDE), ("slim", SLIM)):
        plots[css] = startplot.drawn(d.start, d.reference, width, css) if d.start else ""
        strips[css] = timeline.drawn(d.timeline, d.until_ms, width, css)
    share = d.mark.wiring.get("join_f")
    return rendered(
        "debrief.html", d.footer, d.cautions,
        d=d, question=QUESTION, clock=clock, plots=_safe(plots), strips=_safe(strips),
        wiring=dict(d.mark.wiring), share=f"{100 * share:.0f} %" if share is not None else "",
    )  # fmt: skip


def rendered(template: str, footer: str, cautions: Cautions, **more: Any) -> str:
    """A template of ours with the house's style."""
    css = (
        _style()
        .get_template("page.css")
        .render(
            c=COLOURS,
            footer=css_text(again(footer)[:FOOTER_MOST]),
            short=css_text(again(cautions.short)),
        )
    )
    words = {
        "css": Markup(css), "footer": footer, "cautions": cautions, "lang": spoken(),
        "take_along": TAKE_ALONG, **more,
    }  # fmt: skip
    return _pages().get_template(template).render(**words)


def css_text(words: str) -> str:
    """Text inside a string of a style sheet: all but plain letters and digits as code points."""
    return "".join(c if _plain(c) else f"\\{ord(c):x} " for c in words)


def _plain(letter: str) -> bool:
    return letter.isascii() and (letter.isalnum() or letter in " ,.")


def _safe(drawings: dict[str, str]) -> dict[str, Any]:
    """Markup that our own writer made, with every text in it escaped already."""
    return {css: Markup(drawing) for css, drawing in drawings.items()}


@cache
def _pages() -> Environment:
    return _environment(True)


@cache
def _style() -> Environment:
    return _environment(False)


def _environment(escaping: bool) -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(assets_dir() / "report"), autoescape=escaping,
        undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=_told,
    )  # fmt: skip
    made.globals |= {"_": tr, "again": again, "spelt": spelt, "capital": capital, "strong": _strong}
    return made


@pass_context
def _told(context: object, value: Any) -> Any:
    """Whatever a template shows, in the language spoken; markup is ours already."""
    return again(value) if type(value) is str else value


def _strong(text: str) -> Markup:
    """A text with what stands between stars in bold."""
    before, bold, after = (escape(piece) for piece in text.split("*"))
    return Markup(f"{before}<strong>{bold}</strong>{after}")


def comparison(c: Compared) -> str:
    """Two attempts side by side as a file."""
    return rendered("compare.html", c.footer, house_cautions(), c=c)
