"""What is kept from frame to frame is what would be drawn anew."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.view.test_damage import MESSAGES, begun
from trainer.view import pen, steady
from trainer.view.frames import frame
from trainer.view.shots import TRACES
from trainer.view.state import Settings
from trainer.view.update import update


def fresh(app):
    steady._DRAWN.clear()
    pen._KEPT.clear()
    return frame(app)


def same(app):
    kept = frame(app)
    return kept.nodes, kept.shapes, fresh(app)


@settings(max_examples=6, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(MESSAGES), st.integers(0, 200), st.booleans()),
        min_size=1,
        max_size=8,
    )
)
def test_whatever_was_done_pointed_at_or_focused(steps):
    app = begun()
    for message, n, point in steps:
        app = update(app, message)[0]
        names = [node.name for node in frame(app).nodes]
        at = {"hover" if point else "focus": names[n % len(names)]}
        app = replace(app, **at)
        nodes, shapes, clean = same(app)
        assert (nodes, shapes) == (clean.nodes, clean.shapes), (message, at)


def test_at_every_moment_of_a_replay():
    app = TRACES["trace"]().with_job(sheet="trace", playing=True)
    for share in (0.0, 0.01, 0.3, 0.31, 1.0):
        app = app.with_job(at_s=share)
        nodes, shapes, clean = same(app)
        assert (nodes, shapes) == (clean.nodes, clean.shapes), share


def test_after_another_setting():
    app = begun()
    frame(app)
    for changed in ({"language": "es"}, {"units": "US"}, {"theme": "night"}):
        app = replace(app, settings=Settings(**changed))
        nodes, shapes, clean = same(app)
        assert (nodes, shapes) == (clean.nodes, clean.shapes), changed


def test_what_stands_still_is_the_same_object_while_a_replay_plays():
    app = TRACES["trace"]().with_job(sheet="trace", playing=True, at_s=0.2)
    first = frame(app)
    after = frame(app.with_job(at_s=0.21))
    before = {id(s) for s in first.shapes}
    kept = [s for s in after.shapes if id(s) in before]
    assert len(kept) > 0.5 * len(after.shapes)
    assert first.shapes != after.shapes
