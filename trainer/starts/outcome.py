"""What a start is called: rules over evidence, in the order in which they are tried.

Nothing here knows a study, a part or a wiring: a rule sees numbers and thresholds. The first
rule that applies gives the outcome; all that apply are listed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trainer.starts.evidence import Evidence
from trainer.starts.thresholds import Thresholds

Rule = Callable[[Evidence, Thresholds], bool]


def short_circuit(e: Evidence, _: Thresholds) -> bool:
    """A leg of the supply saw next to nothing."""
    return e.shorted


def no_power(e: Evidence, _: Thresholds) -> bool:
    """The supply never reached two terminals of the compressor."""
    return e.energised_at_s is None


def no_current(e: Evidence, limits: Thresholds) -> bool:
    """Volts on the terminals, next to nothing through the windings."""
    return e.energised_at_s is not None and e.winding_rms_a < limits.no_current.value


def tripped(e: Evidence, _: Thresholds) -> bool:
    """An overload, breaker, fuse or ground-fault device opened, or source or starter gave up."""
    return bool(e.trips)


def reverse(e: Evidence, limits: Thresholds) -> bool:
    """Turning backwards while powered."""
    return _turned(e, limits) and e.speed_at_end <= -limits.reverse_speed.value


def stalled(e: Evidence, limits: Thresholds) -> bool:
    """Fed and drawing current, and below full speed at the end or at the trip."""
    below = e.speed_at_end < limits.full_speed.value
    return _turned(e, limits) and not reverse(e, limits) and below


def chatter(e: Evidence, limits: Thresholds) -> bool:
    """Start relay or contactor closed again and again while power was on."""
    most = max(e.aid.recloses, e.contactor_recloses)
    return most >= limits.chatter_recloses.value


def never_disengages(e: Evidence, _: Thresholds) -> bool:
    """The start capacitor still in at the longest a start may take, or at the trip."""
    return e.aid.switched and e.aid.fitted and e.in_at_never


def late_disengage(e: Evidence, _: Thresholds) -> bool:
    """Still in a while after full speed, yet out in the end."""
    late = e.in_after_full and not e.in_at_never
    return e.aid.switched and e.aid.fitted and late


def early_disengage(e: Evidence, limits: Thresholds) -> bool:
    """Opened and then closed again, fell back, or left so soon that the start took longer."""
    return e.aid.recloses > 0 or _fell_back(e, limits) or _too_slow(e, limits)


def clean(e: Evidence, limits: Thresholds) -> bool:
    """None of the others."""
    return not any(rule(e, limits) for name, rule in RULES if name != "clean")


#: In the order in which they are tried.
RULES: tuple[tuple[str, Rule], ...] = (
    ("short_circuit", short_circuit),
    ("no_power", no_power),
    ("no_current", no_current),
    ("tripped", tripped),
    ("reverse", reverse),
    ("stalled", stalled),
    ("chatter", chatter),
    ("never_disengages", never_disengages),
    ("late_disengage", late_disengage),
    ("early_disengage", early_disengage),
    ("clean", clean),
)
OUTCOMES = tuple(name for name, _ in RULES)


@dataclass(frozen=True)
class Named:
    """The outcome and everything that applies, in order."""

    outcome: str
    also: tuple[str, ...]


def named(e: Evidence, limits: Thresholds) -> Named:
    found = tuple(name for name, rule in RULES if rule(e, limits))
    return Named(found[0], found)


@dataclass(frozen=True)
class OverTorque:
    """Standing torque over that of the reference's wiring; None with nothing to compare."""

    over: bool
    ratio: float | None


def over_torque(e: Evidence, limits: Thresholds) -> OverTorque:
    """Named from the torque alone, whatever the relay then does, against a start with an aid."""
    right = e.reference.standing_nm if e.reference else None
    if e.standing_nm is None or right is None or right <= 0.0:
        return OverTorque(False, None)
    ratio = e.standing_nm / right
    aided = e.reference is not None and e.reference.aided
    return OverTorque(aided and ratio >= limits.over_torque.value, ratio)


def high_current_longer(e: Evidence, limits: Thresholds) -> bool | None:
    """Whether full speed came later than in the reference start.

    None without one, and where there is no high current to speak of: nothing flows, or the
    motor runs backwards.
    """
    right = e.reference.time_to_full_s if e.reference else None
    if right is None or not _turned(e, limits) or reverse(e, limits):
        return None
    return e.time_to_full_s is None or e.time_to_full_s > limits.longer.value * right


def _turned(e: Evidence, limits: Thresholds) -> bool:
    return e.energised_at_s is not None and not no_current(e, limits)


def _fell_back(e: Evidence, limits: Thresholds) -> bool:
    if e.opened_speed is None or e.least_speed_after_opening is None:
        return False
    lost = e.opened_speed - e.least_speed_after_opening
    return e.time_to_full_s is None or lost > limits.fell_back.value


def _too_slow(e: Evidence, limits: Thresholds) -> bool:
    """Longer than the reference by more than the limit, having opened before full speed and at
    less speed than the reference did."""
    right = e.reference
    if right is None or right.time_to_full_s is None or right.opened_speed is None:
        return False
    if e.time_to_full_s is None or e.opened_s is None or e.opened_speed is None:
        return False
    before_full = e.opened_s < e.time_to_full_s and e.opened_speed < right.opened_speed
    slow = e.time_to_full_s > limits.slower_than_reference.value * right.time_to_full_s
    return before_full and slow
