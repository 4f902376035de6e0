"""Records and evidence made by hand, for tests that need no circuit in motion."""

from dataclasses import replace

import numpy as np

from trainer.circuit.channels import Event, Trace
from trainer.circuit.elements import Elements
from trainer.circuit.state import CircuitState
from trainer.starts.disengaging import NONE, Disengaging
from trainer.starts.evidence import Evidence, ReferenceStart, Trip
from trainer.starts.recording import Recording
from trainer.study.build import Roles

STEP_S = 1e-3


def roles(**more):
    return Roles(watch={}, marks={}, nodes={}, **more)


def record(events=(), closed=None, values=None, end_s=1.0, elements=None, its_roles=None):
    """A record of one second by default, a sample a millisecond."""
    t = np.arange(1, round(end_s / STEP_S) + 1) * STEP_S
    lines = {
        name: np.broadcast_to(line, t.shape).astype(float) for name, line in (values or {}).items()
    }
    return Recording(
        elements or Elements(), its_roles or roles(), Trace(t, lines, list(events)),
        dict(closed or {}), STEP_S, CircuitState(),
    )  # fmt: skip


def event(t_s, kind, name, value=0.0):
    return Event(t_s, kind, name, value)


#: An ordinary start without an aid: full speed after 0.2 s.
PLAIN = Evidence(
    shorted=False, fed=((0.0, 3.2),), energised_at_s=0.0, judged_at_s=3.2, trips=(),
    winding_rms_a=80.0, time_to_full_s=0.2, speed_at_end=0.98, aid=NONE, opened_s=None,
    opened_speed=None, least_speed_after_opening=None, in_after_full=False, in_at_never=False,
    contactor_recloses=0, standing_nm=0.5, reference=None,
)  # fmt: skip
#: The same with a start capacitor that leaves after 0.21 s.
AIDED = replace(
    PLAIN, aid=Disengaging(True, True, ((0.0, 0.21),), 0.21), opened_s=0.21, opened_speed=0.95,
    standing_nm=3.4,
)  # fmt: skip
RIGHT = ReferenceStart("the right kit", 0.2, 0.95, 3.4, True)


def changed(evidence, **more):
    return replace(evidence, **more)


def aid(recloses=0, **more):
    return Disengaging(True, True, ((0.0, 0.05),), 0.05, recloses, **more)


def trip(t_s=1.0, part="comp", kind="thermal"):
    return Trip(part, f"{part}~overload", t_s, kind)
