"""Messages that change more than one thing, or must change nothing."""

from dataclasses import replace

import pytest

from tests.view.hands import Hands
from trainer.view.at_bench import number
from trainer.view.frames import frame
from trainer.view.shapes import Words, every
from trainer.view.state import App, Settings
from trainer.view.update import TOUR, TYPED_MOST, update


@pytest.fixture
def hands():
    found = Hands()
    found.begin("make-it-dead")
    return found


def asked(hands):
    return [dict(e.data) for e in hands.app.job.events if e.kind == "asked"]


def test_an_unknown_message_is_a_fault_of_the_program():
    with pytest.raises(KeyError):
        update(App(), ("no such message",))


def test_typing_ends_somewhere():
    app, effects = update(App(), ("typed", "x", "a" * 5000))
    assert len(app.texts["x"]) == TYPED_MOST and effects == []


def test_scrolling_stays_within_the_region():
    app, _ = update(App(), ("scroll", "x", -50.0, 300.0))
    assert app.scrolls["x"] == 0.0
    app, _ = update(app, ("scroll", "x", 900.0, 300.0))
    assert app.scrolls["x"] == 300.0


def test_settings_lead_back_to_where_they_were_opened(hands):
    job = hands.app.job
    hands.send(("screen", "settings"))
    assert hands.app.screen == "settings"
    hands.send(("scale", 1))
    assert hands.app.settings.scale == 110 and ("save settings",) in hands.done
    hands.send(("back",))
    assert hands.app.screen == "bench" and hands.app.job is job


def said_on(app):
    return " ".join(s.text for s in every(frame(app).shapes) if isinstance(s, Words))


def test_home_says_that_it_looks_until_it_has_looked():
    app = App(settings=Settings(toured=True))
    assert "Looking for work that is half done" in said_on(app)
    app, _ = update(app, ("came", {"ask": "home"}, {"home": {"resume": [], "exercises": []}}))
    assert "Nothing is half done" in said_on(app)


def test_home_offers_nothing_old_that_may_lie_elsewhere_in_a_moment(hands):
    app = replace(hands.app, home={"resume": [{"at": "14:02", "n": 1}]})
    for message in (("leave",), ("screen", "home"), ("tour", TOUR)):
        after, effects = update(app, message)
        assert after.home is None and ("home",) in effects


def test_while_an_exercise_is_laid_out_no_other_is_begun():
    app, first = update(App(settings=Settings(toured=True)), ("exercise", "make-it-dead", "guided"))
    assert first == [("begin", "make-it-dead", "guided")]
    for message in (("exercise", "first-start", "practice"), ("resume", "one.att")):
        again, effects = update(app, message)
        assert again == app and effects == []


def test_the_scale_ends_at_both_sides():
    app = App()
    for _ in range(20):
        app, _ = update(app, ("scale", 1))
    assert app.settings.scale == 200
    for _ in range(20):
        app, _ = update(app, ("scale", -1))
    assert app.settings.scale == 100


def test_the_tour_ends_at_home_and_is_not_shown_again():
    app = App(settings=Settings(toured=False), screen="tour")
    for page in range(1, TOUR):
        app, effects = update(app, ("tour", page))
        assert app.screen == "tour" and effects == []
    app, effects = update(app, ("tour", TOUR))
    assert app.screen == "home" and app.settings.toured and ("save settings",) in effects


def test_nothing_is_asked_for_while_an_act_is_under_way(hands):
    busy = replace(hands.app, job=replace(hands.app.job, busy=True))
    for message in (("act", {"act": "look"}), ("undo", 1), ("carry out",)):
        app, effects = update(busy, message)
        assert effects == [] and app.job.events == busy.job.events


def test_taking_another_tool_lays_down_what_was_begun(hands):
    hands.send(("tool", "discharge"))
    hands.send(("place", "disconnect.L1"))
    assert hands.app.job.picks == ("disconnect.L1",)
    hands.send(("tool", "lock"))
    assert hands.app.job.picks == () and asked(hands) == []


def test_escape_lays_down_first_the_pick_then_the_tool(hands):
    hands.send(("tool", "discharge"))
    hands.send(("place", "disconnect.L1"))
    hands.send(("drop",))
    assert (hands.app.job.picks, hands.app.job.tool) == ((), "discharge")
    hands.send(("drop",))
    assert hands.app.job.tool == "hand"


def test_more_is_a_list_and_leaves_the_tool_in_hand(hands):
    hands.send(("tool", "discharge"))
    hands.send(("tool", "more"))
    assert (hands.app.job.tool, hands.app.job.form) == ("discharge", "list")
    hands.send(("sheet", "job"))
    assert (hands.app.job.form, hands.app.job.sheet) == ("", "job")


def test_a_form_opens_empty(hands):
    hands.send(("form", "tell"))
    hands.send(("typed", "form.tell.who", "the neighbour"))
    hands.send(("form", ""))
    hands.send(("form", "tell"))
    assert hands.frame.node("form.tell.who").value == ""


def test_a_form_that_is_not_filled_says_what_is_missing(hands):
    hands.send(("form", "tell"))
    hands.send(("form do",))
    assert "who is still empty" in hands.app.job.said[0]
    assert hands.app.job.form == "tell" and asked(hands) == []


@pytest.mark.parametrize("text", ["", "many", "0", "-3", "1e9", "nan", "inf"])
def test_a_figure_that_cannot_be_is_said_and_nothing_is_done(hands, text):
    hands.send(("tool", "wait"))
    hands.send(("typed", "set.wait.seconds", text))
    hands.send(("carry out",))
    assert "give a number from 1 to 14400 s" in hands.app.job.said[0]
    assert asked(hands) == []


def test_a_figure_that_was_typed_is_what_is_done_and_what_buttons_count_from(hands):
    hands.send(("tool", "wait"))
    hands.send(("typed", "set.wait.seconds", "12"))
    hands.send(("step", "wait", "seconds", 1))
    hands.send(("carry out",))
    assert asked(hands) == [{"act": "wait", "seconds": 13.0}]


def test_numbers_as_people_write_them():
    assert number("2,5") == 2.5 and number(" 7 ") == 7.0
    assert number("seven") is None and number("nan") is None


def test_a_reading_fills_the_record_and_citing_it_again_takes_it_back(hands):
    hands.send(("act", {"act": "select", "instrument": "meter", "setting": "V ac"}))
    hands.send(("act", {"act": "self check", "instrument": "meter"}))
    hands.send(("act", {"act": "take off", "cover": "disconnect-front"}))
    hands.send(("act", {"act": "measure", "red": "disconnect.L1", "black": "disconnect.L2"}))
    read = next(e for e in hands.app.job.events if e.kind == "read")
    hands.send(("cite", read.seq))
    hands.send(("form", "record"))
    shown = str(read.data["shown"]["text"])
    assert hands.frame.node("form.record.value").value == shown
    assert hands.frame.node(f"form.record.reading.{read.seq}").chosen
    hands.send(("form reading", read.seq))
    assert not hands.frame.node(f"form.record.reading.{read.seq}").chosen
    hands.send(("form reading", read.seq))
    hands.send(("typed", "form.record.what", "known source"))
    hands.send(("form do",))
    assert asked(hands)[-1] == {
        "act": "record", "what": "known source", "value": shown, "reading": read.seq, "verdict": "",
    }  # fmt: skip
    assert hands.app.job.cited == () and hands.app.job.form == ""


def test_a_cause_wants_a_meaning_for_every_reading_once_one_has_it(hands):
    hands.send(("form", "name fault"))
    hands.send(("typed", "form.name fault.fault", "none"))
    for seq in (3, 9):
        hands.send(("form reading", seq))
    hands.send(("form meaning", 3, "in order"))
    hands.send(("form do",))
    assert "every reading" in hands.app.job.said[0] and asked(hands) == []
    hands.send(("form meaning", 9, "low"))
    hands.send(("form do",))
    assert asked(hands)[-1] == {
        "act": "name fault", "fault": "none", "evidence": [3, 9], "meanings": ["in order", "low"],
    }  # fmt: skip


def test_a_cover_comes_off_by_the_hand_but_a_lock_goes_through_it(hands):
    covered = next(n for n in hands.frame.nodes if n.role == "cover")
    hands.send(("tool", "lock"))
    hands.send(covered.on)
    assert asked(hands)[-1]["act"] == "lock"
    hands.send(("tool", "hand"))
    part = covered.name.removeprefix("cover.")
    hands.send(covered.on)
    acts = [a["act"] for a in asked(hands)]
    offered = [n.name for n in hands.frame.nodes if n.name.startswith("option.cover")]
    assert acts[-1] == "take off" or (hands.app.job.picks == (part,) and offered)


def test_an_error_frees_the_hands(hands):
    hands.send(("came", {"ask": "do"}, {"error": "it went wrong"}))
    assert hands.app.trouble == "it went wrong" and not hands.app.job.busy
    hands.click("trouble.close")
    assert hands.app.trouble == "" and hands.frame.node("tool.hand") is not None


def test_an_answer_that_comes_after_leaving_changes_nothing(hands):
    hands.send(("leave",))
    before = hands.app
    late = {"ask": "do", "act": {"act": "look"}}
    assert update(before, ("came", late, {"events": []}))[0] == before


def test_free_ends_stay_where_they_hang_when_one_of_them_is_landed():
    hands = Hands()
    hands.begin("dual-capacitor-unit")
    hands.send(("zoomed", 0.0))
    free = [n for n in hands.frame.nodes if n.role == "end" and "hangs free" in n.label]
    assert len(free) > 4
    before = {n.name: n.rect for n in free}
    hands.send(("end", free[0].name.removeprefix("end.")))
    hands.send(("place", "comp.C"))
    now = {n.name: n.rect for n in hands.frame.nodes if n.name in before}
    moved = [name for name, rect in now.items() if rect != before[name]]
    assert moved == [free[0].name]


def test_the_part_tool_names_all_of_the_tray_and_leads_to_mounting():
    hands = Hands()
    hands.begin("potential-relay-and-start-capacitor")
    hands.click("tool.part")
    tray = hands.app.job.bench.tray
    offered = [n.label for n in hands.frame.nodes if n.name.startswith("set.part.type.offer")]
    assert len(offered) == len(tray)
    hands.click("option.mount")
    for name, part in tray.items():
        label = hands.node(f"form.mount.part.offer.{name}").label
        assert label.replace(" ", "-").endswith(part.type.replace(" ", "-"))
    said = [s.text for s in every(hands.frame.shapes) if isinstance(s, Words)]
    assert not [s for s in said if "_" in s]
