"""Points of workmanship W01 to W25 on ends the learner made, each a share of good ends.

Those of conductors on their way and of parts in their straps are in ``dressing``. Limits are common
practice unless a source stands beside them in assets/procedure.yaml. Knows ends and acts; must know
no weight.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from trainer.assess.dressing import DRESSING
from trainer.assess.ends import Made, made_ends
from trainer.assess.job import Job
from trainer.assess.judged import Check, Judged, met, not_met, not_shown, partly
from trainer.assess.story import Story
from trainer.unit.catalogue import Place
from trainer.unit.conductor import USUAL_STRIP_MM, Conductor, terminal_of

#: Bare length may differ by so much from the barrel or gauge. Common practice, no source. [mm]
STRIP_MM = 1.0
#: A lug takes more than a barrel. Invented. [mm]
LUG_MM = 13.0
#: Fully home, as a share of the travel. Invented.
HOME = 0.9
#: A screw longer than this goes through the sheet. Invented. [mm]
SHORT_SCREW_MM = 15.0
FITTING_FOR = {
    "tab_250": ("female_250",), "stud": ("ring", "fork"), "screw": ("none", "fork"),
    "lug": ("none", "pin"), "pigtail": ("none", "female_250", "ring", "fork", "pin"),
}  # fmt: skip


def _each(
    wanted: Callable[[Made], bool], good: Callable[[Made], bool], fault: str, right: str
) -> Check:
    """A share over the ends for which ``wanted`` holds; left out where there are none."""

    def check(story: Story, job: Job) -> Judged | None:
        ends = [end for end in made_ends(story) if wanted(end)]
        if not ends:
            return None
        bad = [end for end in ends if not good(end)]
        if not bad:
            return met(f"{right}: {len(ends)} of {len(ends)} ends.", *ends)
        names = "; ".join(end.name for end in bad[:4])
        if len(bad) > 4:
            names = f"{names}, and {len(bad) - 4} more"
        said = f"{fault} ({len(bad)} of {len(ends)}): {names}."
        return partly(len(ends) - len(bad), len(ends), said, *bad)

    return check


def _landed(end: Made) -> bool:
    return end.landed


def _stripped(end: Made) -> bool:
    new = end.landed and not end.conductor["factory"]
    return new or end.end["stripped_mm"] != USUAL_STRIP_MM


def _bared_right(end: Made) -> bool:
    bare = float(end.end["stripped_mm"])
    lug = end.place is not None and end.place.kind in ("lug", "pigtail")
    return USUAL_STRIP_MM - STRIP_MM <= bare <= (LUG_MM if lug else USUAL_STRIP_MM + STRIP_MM)


def _screwed(end: Made) -> bool:
    return end.landed and end.place is not None and end.place.torque is not None


def _in_window(end: Made) -> bool:
    assert end.place is not None and end.place.torque is not None
    least, most = end.place.torque
    given = end.end["torque_nm"]
    return given is not None and least <= given <= most


def _by_driver(story: Story, job: Job) -> Judged | None:
    ends = [end for end in made_ends(story) if _screwed(end)]
    if not ends:
        return None
    by_feel = {
        (str(t.asked["wire"]), str(t.asked["end"]))
        for t in story.acts("torque")
        if t.asked.get("means") == "feel"
    }
    bad = [e for e in ends if not _in_window(e) or (e.tag, e.side) in by_feel]
    if not bad:
        return met(f"Screws tightened to the marking: {len(ends)} of {len(ends)}.", *ends)
    names = "; ".join(end.name for end in bad[:4])
    said = (
        f"Screws not tightened to the marking with a driver ({len(bad)} of {len(ends)}): {names}."
    )
    return partly(len(ends) - len(bad), len(ends), said, *bad)


def _crowded(story: Story, job: Job) -> Judged | None:
    return _shared(
        story, lambda here, place: len(here) > place.holds, "More conductors than the place takes:"
    )


def _mixed(story: Story, job: Job) -> Judged | None:
    wanted = {frozenset(c.gauge for c in here) for here in _together(job)}

    def unlike(here: Sequence[str], place: Place) -> bool:
        gauges = frozenset(story.last.conductors[t]["gauge"] for t in here)
        return len(gauges) > 1 and gauges not in wanted

    return _shared(story, unlike, "Unlike gauges under")


def _together(job: Job) -> list[list[Conductor]]:
    """Conductors that the wanted wiring itself puts under one place."""
    under: dict[str, list[Conductor]] = {}
    for conductor in job.target.conductors.values():
        for end in (conductor.a, conductor.b):
            if end.on:
                under.setdefault(end.on, []).append(conductor)
    return [here for here in under.values() if len(here) > 1]


def _shared(story: Story, bad: Callable[[Sequence[str], Place], bool], what: str) -> Judged | None:
    """Screws and lugs that the learner landed on, judged by all that is under them."""
    ends = [
        e for e in made_ends(story) if e.landed and e.place and e.place.kind in ("screw", "lug")
    ]
    if not ends:
        return None
    under: dict[str, list[str]] = {}
    for tag, _, place in story.last.landed():
        under.setdefault(place, []).append(tag)
    wrong = [e for e in ends if e.place and bad(under[e.end["on"]], e.place)]
    if not wrong:
        return met("Each screw holds what it is made for.", *ends)
    names = "; ".join(sorted({str(e.end["on"]) for e in wrong}))
    said = f"{what} {names}."
    return partly(len(ends) - len(wrong), len(ends), said, *wrong)


def _routed(story: Story, job: Job) -> Judged | None:
    routes = story.acts("route")
    if not routes:
        return None
    past = [t for t in routes if str(t.asked.get("past", "")) in job.layout.zones]
    if past:
        zones = ", ".join(sorted({str(t.asked["past"]) for t in past}))
        said = f"Routed along a place where it comes to harm: {zones}."
        return partly(len(routes) - len(past), len(routes), said, *past)
    return met("Routed clear of harm.", *routes)


def _mounted(story: Story, job: Job) -> Judged | None:
    mounts = story.acts("mount")
    if not mounts:
        return None
    looked = [t.seq for t in story.acts("look behind")]
    bad = [
        t
        for t in mounts
        if t.asked.get("arrow", "up") != "up"
        or float(t.asked.get("screw_mm", 0.0)) > SHORT_SCREW_MM
        or not (t.asked.get("looked_behind") or any(seq < t.seq for seq in looked))
    ]
    if not bad:
        return met("Mounted arrow up, short screws, behind looked at.", *mounts)
    names = ", ".join(str(t.asked["part"]) for t in bad)
    said = f"Mounted without a look behind, with a long screw or not upright: {names}."
    return partly(len(mounts) - len(bad), len(mounts), said, *bad)


def _parked(story: Story, job: Job) -> Judged | None:
    loose = [e for e in made_ends(story) if not e.landed]
    if not loose:
        return None
    bad = [e for e in loose if not (e.end["capped"] and e.end["parked"])]
    if not bad:
        return met("Unused ends capped and parked.", *loose)
    names = "; ".join(e.name for e in bad)
    return partly(
        len(loose) - len(bad), len(loose), f"Loose and not capped and parked: {names}.", *bad
    )


def _scraped(story: Story, job: Job) -> Judged | None:
    ends = [
        e for e in made_ends(story) if e.landed and str(e.end["on"]).startswith(("lug.", "chassis"))
    ]
    if not ends:
        return None
    done = story.acts("scrape")
    bare = {terminal_of(str(t.asked["place"])) for t in done}
    bad = [e for e in ends if terminal_of(str(e.end["on"])) not in bare]
    if not bad:
        return met("Paint taken off under the ground lug.", *done)
    return partly(len(ends) - len(bad), len(ends), "A ground joint was made on paint.", *bad)


def _covered(story: Story, job: Job) -> Judged | None:
    handled = [t for t in story.turns if t.act in ("take off", "put back") and not t.refused]
    if not handled and not story.first.covers_off:
        return None
    off = sorted(c for c in story.last.covers_off if c in job.site.covers)
    if not off:
        return met("Every cover is on.", *handled[-1:])
    if not story.handed_over:
        return not_shown(f"Not refitted when the attempt ended: {', '.join(off)}.")
    return not_met(f"Left off at the hand-over: {', '.join(off)}.", *handled[-1:])


def _labelled(story: Story, job: Job) -> Judged | None:
    changed = [*story.acts("fit"), *story.acts("mount"), *story.acts("take down")]
    if not changed:
        return None
    labels = story.acts("label unit")
    if labels:
        return met("The change is labelled at the unit.", *labels)
    return not_shown("No label at the unit says what was changed.")


def _cleaned(story: Story, job: Job) -> Judged | None:
    dirt = [t for name in ("cut", "strip", "take out", "fit") for t in story.acts(name)]
    if not dirt:
        return None
    done = story.acts("clean up")
    return met("Cleaned up.", *done) if done else not_shown("Nobody cleaned up what the work left.")


def _tied(story: Story, job: Job) -> Judged | None:
    new = [tag for tag, c in story.last.conductors.items() if not c["factory"]]
    if not new:
        return None
    tied = {str(t.asked["wire"]) for t in story.acts("dress")}
    rows = [t for t in story.acts("dress") if str(t.asked["wire"]) in new]
    good = sum(tag in tied for tag in new)
    if good == len(new):
        return met("New conductors are tied to the run.", *rows)
    left = [tag for tag in new if tag not in tied]
    rows = [t for t in story.acts("take wire") if str(t.asked["wire"]) in left]
    return partly(good, len(new), f"New conductors not tied: wire {', '.join(left)}.", *rows)


WORKMANSHIP: dict[str, Check] = {
    "W01": _each(_stripped, _bared_right, "Bared too long or too short", "Bared to length"),
    "W02": _each(_landed, lambda e: e.end["strands"] not in ("scraped", "severed"),
                 "Strands scraped or severed", "Strands whole"),
    "W03": _each(_landed, lambda e: e.end["strands"] != "stray", "A strand stands out",
                 "No stray strand"),
    "W04": _each(lambda e: e.landed and "solid" in e.conductor["gauge"],
                 lambda e: e.end["fitting"] == "none", "Solid wire in a crimp",
                 "Solid wire not crimped"),
    "W05": _each(lambda e: e.landed and e.place is not None,
                 lambda e: e.end["fitting"] in FITTING_FOR[e.place.kind],  # type: ignore[union-attr]
                 "The wrong fitting for the place", "The right fitting"),
    "W06": _each(lambda e: e.landed and e.end["fitting"] != "none",
                 lambda e: e.end["crimp"] == "full", "Not a full crimp", "Full crimps"),
    "W07": _each(lambda e: e.landed and e.place is not None and e.place.kind == "tab_250",
                 lambda e: e.end["seated"] >= HOME, "Not fully home", "Fully home"),
    "W08": _each(_landed, lambda e: e.end["tug"] == "held", "Not tugged, or it moved", "Tugged"),
    "W09": _by_driver, "W10": _crowded, "W11": _mixed, "W12": _routed, "W16": _mounted,
    "W18": _parked, "W20": _scraped, "W22": _covered, "W23": _labelled, "W24": _cleaned,
    "W25": _tied, **DRESSING,
}  # fmt: skip
