"""Five thousand inputs of any kind upon a bench: it does not fall over, nor lose focus or log."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.view.hands import Hands
from trainer.session.attempt import verify
from trainer.session.log import read
from trainer.view import focus

#: Twenty-five attempts of two hundred inputs each.
EXAMPLES, INPUTS = 25, 200
SIZES = ((1024.0, 640.0), (1280.0, 800.0), (683.0, 384.0), (1920.0, 1080.0))
KEYS = ("tab", "f6", "up", "down", "left", "right", "return", "space", "escape", "backspace",
        "delete", "pageup", "pagedown", "home", "end", "+", "-", "z")  # fmt: skip
#: What leaves the bench or takes long on the bench's clock is tried elsewhere.
LEAVES = ("strip.leave", "strip.settings", "strip.help", "finish.debrief", "pause.debrief")
SHARE = st.floats(0.0, 1.0)
POINTER = st.tuples(st.sampled_from(("move", "down", "up", "click")), SHARE, SHARE)
KEY = st.tuples(st.just("key"), st.sampled_from(KEYS), st.booleans(), st.sampled_from((0, 0, 0, 1)))
TEXT = st.tuples(st.just("text"), st.text(max_size=6))
WHEEL = st.tuples(
    st.just("wheel"), SHARE, SHARE, st.sampled_from((-3, -1, 0, 1)), st.sampled_from((-2, 0, 1))
)
SIZE = st.tuples(st.just("size"), st.sampled_from(SIZES))
#: A node that is there, by its place in the list: clicks that hit something are the usual ones.
HIT = st.tuples(st.just("hit"), st.integers(0, 10_000))
ANY = st.one_of(HIT, HIT, HIT, POINTER, KEY, KEY, TEXT, WHEEL, SIZE)


def put(hands, event):
    """One input; what would leave the bench is left alone."""
    kind, *rest = event
    wide, high = hands.app.size
    if kind == "hit":
        nodes = [n for n in hands.frame.nodes if n.on and n.seen.w > 1.0 and n.seen.h > 1.0]
        at = nodes[rest[0] % len(nodes)].seen.centre
        _click(hands, at)
    elif kind == "click":
        _click(hands, (rest[0] * wide, rest[1] * high))
    elif kind in ("move", "down", "up"):
        at = rest[0] * wide, rest[1] * high
        if kind != "up" or not _leaves(hands, at):
            getattr(hands, kind)(at)
    elif kind == "key":
        if rest[0] not in ("return", "space") or hands.app.focus not in LEAVES:
            hands.key(rest[0], rest[1], bool(rest[2]))
    elif kind == "text":
        hands.type(rest[0])
    elif kind == "wheel":
        hands.wheel((rest[0] * wide, rest[1] * high), float(rest[3]), float(rest[2]))
    else:
        hands.resize(rest[0])


def _click(hands, at):
    if not _leaves(hands, at):
        hands.move(at)
        hands.down(at)
        hands.up(at)


def _leaves(hands, at):
    node = hands.frame.at(at)
    return node is not None and node.name in LEAVES


def assert_sound(hands):
    """What must hold after any input."""
    assert hands.app.screen == "bench"
    frame = hands.frame
    names = [n.name for n in frame.nodes if n.on]
    assert len(set(names)) == len(names), "two nodes bear one name"
    if hands.app.focus:
        assert any(n.name == hands.app.focus for n in focus.stops(frame))
    assert not hands.app.job.busy


@settings(
    max_examples=EXAMPLES, suppress_health_check=list(HealthCheck), print_blob=True, deadline=None
)
@given(st.lists(ANY, min_size=INPUTS, max_size=INPUTS))
def test_any_inputs_leave_a_sound_bench_and_a_log_that_replays(tmp_path_factory, events):
    path = tmp_path_factory.mktemp("hands") / "a.att"
    hands = Hands()
    hands.begin("make-it-dead", path=str(path))
    for event in events:
        put(hands, event)
        assert_sound(hands)
    hands.key("tab")
    shown = hands.frame.node(hands.app.focus)
    assert shown is not None and shown.seen.w > 0.0 and shown.seen.h > 0.0
    hands.serving.close()
    attempt = read(path)
    assert len(attempt.events) == len(hands.app.job.events)
    assert verify(attempt) is None
