"""The loupe shows how an end was made and what a part says, and nothing an eye does not see."""

from itertools import combinations

import pytest

from tests.view.hands import Hands
from trainer.unit.catalogue import Place
from trainer.unit.conductor import End
from trainer.view.board.end_near import Sight, end_near, marks
from trainer.view.shapes import Layer, Words, every

SEE = Sight((100.0, 60.0), 12.0, -8.0)
TAB, LUG = Place(kind="tab_250"), Place(kind="lug")
#: Ends as workmanship leaves them; invented.
MADE = {
    "full": End(on="x.1", fitting="female_250", crimp="full"),
    "light": End(on="x.1", fitting="female_250", crimp="light"),
    "pliers": End(on="x.1", fitting="female_250", crimp="pliers"),
    "wrong die": End(on="x.1", fitting="female_250", crimp="wrong_die"),
    "open barrel": End(on="x.1", fitting="female_250"),
    "slipped": End(on="x.1", fitting="female_250", crimp="full", tug="slipped"),
    "half pushed": End(on="x.1", fitting="female_250", crimp="full", seated=0.4),
    "pinched": End(on="x.1", fitting="female_250", crimp="full", stripped_mm=3.0),
    "long": End(on="x.1", fitting="female_250", crimp="full", stripped_mm=12.0),
    "scraped": End(on="x.1", fitting="female_250", crimp="full", strands="scraped"),
    "severed": End(on="x.1", fitting="female_250", crimp="full", strands="severed"),
    "stray": End(on="x.1", fitting="female_250", crimp="full", strands="stray"),
    "ring": End(fitting="ring", crimp="full"), "fork": End(fitting="fork", crimp="full"),
    "pin": End(fitting="pin", crimp="full"), "bare": End(), "not stripped": End(stripped_mm=0.0),
    "capped": End(capped=True),
}  # fmt: skip


def picture(end, place=TAB):
    return tuple(end_near(end, "RD", place if end.on else None, SEE))


def test_ends_made_otherwise_look_otherwise():
    alike = [(a, b) for a, b in combinations(MADE, 2) if picture(MADE[a]) == picture(MADE[b])]
    assert not alike


def test_what_an_eye_does_not_see_is_not_drawn():
    """How tight a screw is cannot be seen; nor whether a sound crimp was tugged at."""
    clamped = End(on="x.1", torque_nm=None)
    assert picture(clamped, LUG) == picture(clamped.model_copy(update={"torque_nm": 4.0}), LUG)
    crimped = MADE["full"]
    assert picture(crimped) == picture(crimped.model_copy(update={"tug": "held"}))


def test_the_ruler_tells_the_bared_length():
    end = End(stripped_mm=10.0)
    at = {figure: spot for spot, figure in marks(end, SEE, 400.0)}
    assert (at["10"][0] - at["0"][0]) / SEE.scale == pytest.approx(end.stripped_mm)
    copper = [s for s in picture(end) if getattr(s, "colour", "") == "#D08A4E"]
    assert max(s.points[-1][0] for s in copper) == pytest.approx(at["10"][0])


@pytest.fixture
def hands():
    found = Hands()
    found.begin("potential-relay-and-start-capacitor")
    for cover in ("control-panel", "disconnect-front"):
        found.send(("act", {"act": "take off", "cover": cover}))
    found.send(("zoomed", 0.0))
    return found


def texts(hands):
    """What is written in the loupe's own layer."""
    layers = [s for s in every(hands.frame.shapes) if isinstance(s, Layer) and s.key[0] == "loupe"]
    assert len(layers) == 1
    return [w.text for w in layers[0].shapes if isinstance(w, Words)]


def test_a_part_is_read_close_and_a_wiped_marking_with_it(hands):
    bench = hands.app.job.bench
    dirty = sorted(d for d in bench.dirty if d.startswith("can."))
    hands.click("tool.look")
    hands.click("part.can")
    before = texts(hands)
    assert "35+5 uF +/-6 % 440 VAC" in " ".join(before)
    hands.send(("act", {"act": "wipe", "place": dirty[0]}))
    assert len(texts(hands)) == len(before) + 1


def test_it_lies_over_the_board_until_it_is_closed(hands):
    end = next(n.on[1] for n in hands.frame.nodes if n.role == "end")
    hands.click("tool.look")
    hands.click(f"end.{end}")
    card = hands.node("loupe")
    assert hands.frame.at(card.rect.centre).name == "loupe"
    assert hands.bare(f"end.{end}") is not None, "it lies on what it shows"
    hands.click("loupe.close")
    assert hands.frame.node("loupe") is None
    hands.click(f"end.{end}")
    hands.key("escape")
    assert hands.frame.node("loupe") is None and hands.app.job.tool == "look"


def test_another_act_puts_it_away_and_a_refused_one_does_not(hands):
    hands.click("tool.look")
    hands.click("part.can")
    hands.send(("act", {"act": "cap", "wire": "6", "end": "a"}))
    assert hands.frame.node("loupe") is not None
    hands.send(("act", {"act": "wait", "seconds": 1.0}))
    assert hands.frame.node("loupe") is None


def test_it_looks_the_same_live_and_dead():
    """The same end of a fed conductor, before and after the breaker is opened."""
    hands = Hands()
    hands.begin("larkspur-row")
    hands.send(("act", {"act": "take off", "cover": "control-panel"}))
    hands.send(("zoomed", 0.0))

    def volts():
        meter = {"act": "select", "instrument": "meter", "setting": "V ac"}
        hands.send(("act", meter))
        hands.send(("act", {"act": "measure", "red": "contactor.L1", "black": "contactor.L2"}))
        return [e for e in hands.app.job.events if e.kind == "read"][-1].data["shown"]["value"]

    def seen():
        hands.send(("act", {"act": "inspect", "wire": "1", "end": "b"}))
        card = hands.node("loupe").rect
        shapes = hands.frame.shapes
        first = next(k for k, s in enumerate(shapes) if getattr(s, "rect", None) == card)
        return shapes[first : first + 6]

    live, before = seen(), volts()
    hands.send(("act", {"act": "open", "part": "breaker"}))
    assert not any(e.kind == "refused" for e in hands.app.job.events)
    assert volts() < 5.0 < 200.0 < before
    assert seen() == live
