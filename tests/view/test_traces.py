"""The drawing of a start: what is kept of it belongs to that start and no other."""

from trainer.view.frames import frame
from trainer.view.shapes import Layer, every
from trainer.view.shots import TRACES


def trace_layer(name):
    found = frame(TRACES[name]())
    return next(s for s in every(found.shapes) if isinstance(s, Layer) and s.key[0] == "trace")


def test_two_attempts_at_one_job_do_not_share_a_kept_drawing():
    one, other = trace_layer("trace-stalled"), trace_layer("trace-backwards")
    assert one.shapes != other.shapes
    assert one.key != other.key


def test_the_same_start_keeps_its_drawing():
    assert trace_layer("trace-backwards").key == trace_layer("trace-backwards").key
