"""What a start can be called before it is over.

The rules are those of every start report. A record that has only begun can go on in several
ways, each written here as the evidence it would leave: what the rules say of all of them is
reached, what they say of some is not yet known. Knows evidence and rules; must hold no
threshold and no rule of its own. That a capacitor which has left comes back to stay is not
counted among the ways: then no start could be called late before three seconds are over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trainer.starts import outcome
from trainer.starts.evidence import Evidence, Trip
from trainer.starts.thresholds import Thresholds
from trainer.starts.wording import HEADINGS, percent, torque_sentence

NOT_YET = "NOT YET KNOWN"
#: Amps that are certainly some: what a winding might still come to carry [A].
PLENTY_A = 1e3


@dataclass(frozen=True)
class SoFar:
    """``reached``: names that stay whatever comes. ``open``: names that may or may not come.

    ``as_it_goes``: the outcome if nothing changes any more, None while the motor comes up.
    ``heading`` is that of the first name reached; ``sentences`` are plain. ``over_torque`` is
    None without standing torque; ``ratio`` as in a report.
    """

    reached: tuple[str, ...]
    open: tuple[str, ...]
    as_it_goes: str | None
    heading: str
    sentences: tuple[str, ...]
    over_torque: bool | None
    ratio: float | None
    longer: bool | None


def so_far(e: Evidence, now_s: float, limits: Thresholds) -> SoFar:
    """What can be said at ``now_s``, the end of what was recorded, on the clock of the study."""
    ways = [set(outcome.named(way, limits).also) for way in ways_on(e, now_s, limits)]
    reached = tuple(name for name in outcome.OUTCOMES if all(name in way for way in ways))
    some = tuple(name for name in outcome.OUTCOMES if any(name in way for way in ways))
    torque = outcome.over_torque(e, limits)
    longer = _longer(e, now_s, limits)
    pushed = {
        "over_torque": torque.over,
        "over_torque_ratio": torque.ratio,
        "high_current_longer": longer,
    }
    told = [torque_sentence(pushed), *_course(e, now_s)]
    return SoFar(
        reached=reached,
        open=tuple(name for name in some if name not in reached),
        as_it_goes=_as_it_goes(e, now_s, limits),
        heading=HEADINGS[reached[0]] if reached else NOT_YET,
        sentences=tuple(sentence for sentence in told if sentence),
        over_torque=None if e.standing_nm is None else torque.over,
        ratio=torque.ratio,
        longer=longer,
    )


def ways_on(e: Evidence, now_s: float, limits: Thresholds) -> list[Evidence]:
    """The evidence that each way of going on would leave."""
    start = e.energised_at_s
    if _over(e):
        return [e]
    flows = max(e.winding_rms_a, PLENTY_A)
    if start is None:
        return [e, replace(e, energised_at_s=now_s, winding_rms_a=flows)]
    still_in = e.aid.fitted and e.aid.in_at(now_s - 1e-9)
    full = e.time_to_full_s
    late = e.in_after_full or (full is not None and still_in)
    # up to speed at once, and an aid still in leaves at once
    up = replace(
        e,
        winding_rms_a=flows,
        time_to_full_s=now_s - start if full is None else full,
        speed_at_end=1.0,
    )
    hangs = replace(
        e, winding_rms_a=flows, speed_at_end=0.0, in_after_full=late, in_at_never=still_in
    )
    trips = Trip("", "", now_s, "")
    ways = [
        up,
        replace(up, in_after_full=late or still_in, in_at_never=still_in),
        hangs,
        replace(hangs, speed_at_end=-1.0),
        replace(hangs, trips=(*e.trips, trips)),
        replace(up, contactor_recloses=max(e.contactor_recloses, limits.chatter_recloses.value)),
    ]
    if e.winding_rms_a < flows:
        ways.append(replace(e, speed_at_end=0.0))
    if e.aid.switched and e.aid.fitted:
        again = max(e.aid.recloses, limits.chatter_recloses.value)
        ways.append(replace(up, aid=replace(e.aid, recloses=again)))
    return ways


def _as_it_goes(e: Evidence, now_s: float, limits: Thresholds) -> str | None:
    if _over(e):
        return outcome.named(e, limits).outcome
    if e.time_to_full_s is None:
        return None
    still_in = e.aid.fitted and e.aid.in_at(now_s - 1e-9)
    stays = replace(e, in_after_full=e.in_after_full or still_in, in_at_never=still_in)
    return outcome.named(stays, limits).outcome


def _over(e: Evidence) -> bool:
    """Judged for good: something tripped while the compressor was fed."""
    if e.energised_at_s is None or not e.fed:
        return False
    return any(e.energised_at_s <= t.t_s <= e.fed[-1][1] + 1e-9 for t in e.trips)


def _longer(e: Evidence, now_s: float, limits: Thresholds) -> bool | None:
    """As a report says it, but None while full speed may still come in time."""
    said = outcome.high_current_longer(e, limits)
    right = e.reference.time_to_full_s if e.reference else None
    if said is None or right is None or e.energised_at_s is None:
        return None
    if e.time_to_full_s is None and not _over(e):
        late = replace(e, time_to_full_s=now_s - e.energised_at_s)
        return outcome.high_current_longer(late, limits) or None
    return said


def _course(e: Evidence, now_s: float) -> Iterator[str]:
    """How far it has come, without a judgement."""
    if e.energised_at_s is None:
        yield "No volts at the compressor so far."
        return
    if e.time_to_full_s is not None:
        yield f"Full speed after {e.time_to_full_s:.2f} s."
    else:
        passed = now_s - e.energised_at_s
        yield f"At {percent(e.speed_at_end)} of synchronous speed after {passed:.2f} s."
    if e.opened_s is not None and e.opened_speed is not None:
        yield f"Start capacitor out after {e.opened_s:.2f} s at {percent(e.opened_speed)} of speed."
    elif e.aid.fitted:
        yield "Start capacitor still in."
