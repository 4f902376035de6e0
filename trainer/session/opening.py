"""From a name and a seed to a unit as found, the header of its attempt and the rest of the job.

A scenario by name or file, or a layout by name as a free bench. Knows scenarios and layouts; no
mark.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Mapping
from copy import deepcopy
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.scenario.taking import HANDS_MS, fed, thermostat
from trainer.session.judging import judged
from trainer.unit.layout import Feed, Layout, layout_names, load_layout
from trainer.unit.own_layout import is_layout_file, is_own, layout_to_plain
from trainer.unit.state import Unit
from trainer.unit.world import advance, at_rest, contacts_of

if TYPE_CHECKING:
    from trainer.scenario.model import Proof
    from trainer.scenario.variants import Variant

#: Whose lock hangs on a unit that was handed over proved dead.
SELF = "learner"
#: The state of an instrument in a scenario's words, as fields of its health.
CONDITIONS: dict[str, dict[str, Any]] = {
    "good": {}, "low battery": {"battery": "low"}, "flat battery": {"battery": "flat"},
    "open lead": {"lead_open": True}, "blown fuse": {"fuse_blown": True},
}  # fmt: skip


class Opening(NamedTuple):
    """``found`` is what the first event carries beside the unit."""

    unit: Unit
    header: dict[str, Any]
    found: dict[str, Any]


def opening(name: str, seed: int, graded: bool = False) -> Opening:
    """A scenario's variant, or the bare unit of a layout. Raises NotFoundError with near names.

    ``graded``: the variant of this seed or of the next whose start does not hang on a hair.
    """
    if name in layout_names() and graded:
        raise _no_job(name)
    if name in layout_names():
        return _free(load_layout(name), name, seed)
    from trainer.scenario.load import find_scenario, load_scenario, scenario_names
    from trainer.scenario.variants import variant

    if is_layout_file(Path(name)):
        if graded:
            raise _no_job(name)
        return _free(load_layout(Path(name)), name, seed)
    if name.replace("-", "").isalnum() and name not in scenario_names():
        _unknown(name, [*scenario_names(), *layout_names()])
    scenario = load_scenario(name)
    if graded:
        from trainer.scenario.grading import graded_variant

        made = graded_variant(scenario, find_scenario(name).stem, seed)
    else:
        made = variant(scenario, find_scenario(name).stem, seed)
    return Opening(made.unit, _header_of(name, made), found_of(made))


def _no_job(name: str) -> TrainerError:
    return TrainerError(f"{quoted(name)} is a bench without a job", hint="grade a scenario")


def _free(layout: Layout, name: str, seed: int) -> Opening:
    """The bare unit of a layout, one that ships or a file."""
    found: dict[str, Any] = {"dirty": sorted(layout.dirty), "diagram": layout.diagram.state}
    found["briefing"] = f"{layout.title}. {layout.about}"
    called = Path(name).name
    found |= _carried(layout, called)
    header = _header(name, layout.digest, seed, called, layout.digest)
    return Opening(at_rest(layout, called), header, found)


def _carried(layout: Layout, name: str) -> dict[str, Any]:
    """An own layout goes along in the attempt; its file may change or be on another machine."""
    return {"layout": layout_to_plain(layout)} if is_own(name) else {}


def _unknown(name: str, every: list[str]) -> None:
    near = get_close_matches(name, every, n=1)
    hint = f"did you mean {near[0]}" if near else f"one of {', '.join(every)}"
    raise NotFoundError(f"there is no scenario or bench named {quoted(name)}", hint=hint)


def _header(name: str, digest: str, seed: int, layout: str, laid: str) -> dict[str, Any]:
    """``laid`` is the digest of what the layout says, whatever file it came from."""
    return {
        "scenario": name, "digest": digest, "seed": seed, "layout": layout, "layout_digest": laid,
    }  # fmt: skip


def _header_of(name: str, made: Variant) -> dict[str, Any]:
    job = made.scenario
    return _header(name, job.digest, made.seed, job.layout, made.unit.digest)


def found_of(made: Variant) -> dict[str, Any]:
    """What a variant hands out beside the unit; never what is planted."""
    job = made.scenario
    found: dict[str, Any] = {
        "briefing": f"{job.title}. {job.briefing.strip()}",
        "dirty": sorted(made.layout.dirty),
        "diagram": made.layout.diagram.state,
        "tray": {n: p.model_dump(mode="json") for n, p in job.tray.items()},
        "hints": [job.hints.look, job.hints.think, job.hints.do],
        "level": job.level, "time_s": job.time, "tools": list(job.tools),
        "spots": {n: [*spot.at, spot.turn] for n, spot in made.layout.parts.items()},
    }  # fmt: skip
    found |= _carried(job.site, job.layout)
    if job.proof.starts:
        found["reference"] = reference(made)
    if made.conditions:
        found["health"] = {tool: CONDITIONS[state] for tool, state in made.conditions.items()}
    if job.start.state == "proved dead":
        found |= _proved(made.layout.feeds, job.start.hands)
    return found


#: Wanted starts found before, by what each comes of. A job is begun again and again.
FOUND: OrderedDict[tuple[str, int], tuple[tuple[Any, ...], dict[str, Any]]] = OrderedDict()
#: How many are kept.
FOUND_MOST = 32


def reference(made: Variant) -> dict[str, Any]:
    """The start of the unit as it is wanted: what a start of this job is laid over."""
    key, given = (made.name, made.seed), (made.target, made.layout, made.scenario.proof)
    known = FOUND.get(key)
    if known is None or known[0] != given:
        known = given, _wanted_start(*given)
        FOUND[key] = known
    FOUND.move_to_end(key)
    while len(FOUND) > FOUND_MOST:
        FOUND.popitem(last=False)
    return deepcopy(known[1])


def _wanted_start(target: Unit, layout: Layout, proof: Proof) -> dict[str, Any]:
    unit = advance(target, HANDS_MS, fed(target, layout, proof)).unit
    acts = contacts_of(unit, thermostat(unit), proof.call)
    return judged(unit, acts, proof.after)


def _proved(feeds: Iterable[Feed], hands: Mapping[str, str]) -> dict[str, Any]:
    """Made dead before the job begins: own lock on what is open and takes one."""
    locks = [f.isolated_by for f in feeds if f.lockable and hands.get(f.isolated_by) == "open"]
    return {"declared": True, "locks": dict.fromkeys(locks, SELF)}
