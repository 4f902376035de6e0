"""Texts of shipped files: jobs, sites, studies, the procedure, and words of the bench's tables.

Knows the files' forms; must know no translation.
"""

from collections.abc import Iterator

from trainer.assess.procedure import procedure
from trainer.base.places import scenarios_dir
from trainer.base.retold import JOINS
from trainer.nets.words import COLOURS, DEVICES
from trainer.report.assets import cautions, whys
from trainer.scenario.load import load_scenario, scenario_names
from trainer.session.acts import load_moves
from trainer.study.load import load_study
from trainer.unit.body import tables
from trainer.unit.layout import layout_names, load_layout
from trainer.view.forms import PEOPLE, TAGS

#: (kind, text, where it stands).
Found = Iterator[tuple[str, str, str]]
#: Figures as a format writes them.
WRITTEN = ("{volts} V ac", "{volts} V dc", "{share} % of synchronous",
           "{wire} {end} by the terminal", "{wire} {end} by the wire")  # fmt: skip
#: Single words that stand alone: items of a mark, and an instant of a start.
ITEMS = ("wiring", "parts", "gauges", "named", "separates", "meanings", "energised", "90 % speed")
#: Words for the state of an end, of hands, of a mark, that stand inside sentences.
STATES = (
    "tone", "no tone", "inrush",
    "whole", "scraped", "severed", "stray", "none", "light", "full", "pliers", "wrong_die",
    "female_250", "ring", "fork", "pin", "open", "closed", "call", "cool", "heat", "uncall",
    "learner", "colleague", "look", "think", "do", "once", "twice", "in order", "not in order",
    "dead", "idle", "running", "aside", "in front", "met", "not met", "not shown", "pass", "fail",
    "handed over", "left open", "death", "loss", "practice", "guided", "graded", "self-graded",
    "power", "test", "start", "near miss", "hazard", "hint", "time", "done well", "info",
    "critical", "major", "minor", "style", "same", "differs", "stands in", "runs", "trips",
    "ac", "dc", "nothing", "a hand", "reverse", "clean", "stalled", "chatter", "short circuit",
    "no power", "no current", "never disengages", "late disengage", "early disengage", "sequence",
    "correctness", "workmanship", "commissioning",
    "diagnosis", "records", "turns backwards", "turns slowly", "stands",
    "stands and hums", "ran and stopped", "tripped",
)  # fmt: skip


def of_bench() -> Found:
    table = procedure()
    for words in (*table.steps.values(), *table.critical.values(), *table.workmanship.values()):
        for text in (words.title, words.practice, words.source):
            yield "", text, "assets/procedure.yaml"
    for text in table.anchors.values():
        yield "", text, "assets/procedure.yaml"
    for text in (*whys().codes.values(), *whys().domains.values()):
        yield "", text, "assets/report/why.yaml"
    yield "", cautions().short, "assets/report/cautions.yaml"
    for one in cautions().cautions:
        yield "", one.title, "assets/report/cautions.yaml"
        yield "", one.say, "assets/report/cautions.yaml"
    yield from (("colour", word, "trainer/nets/words.py") for word in COLOURS.values())
    yield from (("device", word, "trainer/nets/words.py") for word in set(DEVICES.values()))
    yield from (("join", word, "trainer/base/retold.py") for word in JOINS)
    yield from (("state", word, "tests/view/shipped.py") for word in STATES)
    yield from (("", word, "trainer/view/forms.py") for word in (*PEOPLE, *TAGS, *told()))
    yield from (("", word, "trainer/assess/items.py") for word in ITEMS)
    yield from (("", volts, "trainer/session/text.py") for volts in WRITTEN)
    for source in (tables().body.source, tables().fibrillation.source):
        yield "", source, "assets/body.yaml"
    yield from _places()


def told() -> set[str]:
    """Whom the shipped files of acts tell."""
    paths = sorted((scenarios_dir() / "moves").glob("*.yaml"))
    return {str(act.who) for path in paths for act in load_moves(path).acts if act.act == "tell"}


def _places() -> Found:
    """Names of parts, and what else can be pointed at."""
    for word in ("chassis", "unit", "wire", "street"):
        yield "place", word, "scenarios/layouts"
    for name in layout_names():
        layout = load_layout(name)
        yield from (("place", part, "scenarios/layouts") for part in layout.parts)
        yield from (("zone", zone, "scenarios/layouts") for zone in layout.zones)
    for name in scenario_names():
        yield from (("place", part, "scenarios/jobs") for part in load_scenario(name).tray)


def of_jobs() -> Found:
    for name in layout_names():
        layout = load_layout(name)
        for text in (layout.title, layout.about, layout.setting, layout.title.partition(",")[0]):
            yield "", text, f"scenarios/layouts/{name}.yaml"
        yield from (("", f.name, f"scenarios/layouts/{name}.yaml") for f in layout.feeds)
    for name in scenario_names():
        for text in _of_job(name):
            yield "", text, f"scenarios/jobs/{name}.yaml"
    for path in sorted((scenarios_dir() / "studies").glob("*.yaml")):
        if any(x.startswith("study:") for x in path.read_text(encoding="utf-8").splitlines()):
            study = load_study(path.stem)
            yield "", study.title, f"scenarios/studies/{path.name}"


def _of_job(name: str) -> Iterator[str]:
    job = load_scenario(name)
    yield from (job.title, job.setting, job.briefing.strip())
    yield from (job.hints.look, job.hints.think, job.hints.do)
    yield from (reading.name for reading in job.readings)
    for point in job.debrief:
        yield from (point.say, point.source)
