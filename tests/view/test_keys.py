"""Keys of a person's own: given by pressing them or by clicks, refused with a sentence, kept."""

import json
from dataclasses import replace

import pytest

from tests.view.hands import Hands
from trainer.view import keys
from trainer.view.frames import frame
from trainer.view.people import FILE, load_settings, save_settings
from trainer.view.state import App, Settings


@pytest.fixture
def hands():
    found = Hands()
    found.send(("screen", "settings"))
    return found


def given(hands, command, key, **held):
    hands.focus_on(f"settings.key.{command}")
    hands.key("return")
    hands.key(key, **held)


def test_every_command_has_a_row_and_all_usual_keys_differ(hands):
    for command in keys.COMMANDS:
        assert hands.frame.node(f"settings.key.{command}") is not None
    assert len(set(keys.USUAL.values())) == len(keys.USUAL)


def test_a_key_is_given_by_pressing_it_and_does_what_the_usual_one_did(hands):
    given(hands, "next", "f2")
    assert hands.app.settings.keys == {"next": "f2"}
    assert ("save settings",) in hands.done
    before = hands.app.focus
    assert before == "settings.key.next"  # where it was opened from
    hands.key("tab")
    assert hands.app.focus == before  # given away, and nobody's now
    hands.key("f2")
    assert hands.app.focus not in ("", before)


def test_a_key_is_given_by_clicks_alone(hands):
    hands.click("settings.key.undo")
    hands.click("keying.f9")
    assert hands.app.settings.keys == {"undo": "f9"} and not hands.app.keying
    hands.click("settings.usual keys")
    assert hands.app.settings.keys == {}


def test_a_key_that_is_taken_is_refused_with_a_sentence(hands):
    given(hands, "undo", "f6")
    assert "F6 is already the key for: To the next area" in hands.app.key_refused
    assert hands.app.keying == "undo" and hands.app.settings.keys == {}
    hands.key("k", ctrl=True)
    assert hands.app.settings.keys == {"undo": "ctrl+k"} and hands.app.key_refused == ""


@pytest.mark.parametrize("key", ["backspace", "delete"])
def test_keys_that_lines_need_are_refused(hands, key):
    given(hands, "undo", key)
    assert "cannot be the key" in hands.app.key_refused and hands.app.settings.keys == {}


def test_escape_and_a_click_leave_a_key_as_it_is(hands):
    given(hands, "undo", "escape")
    assert not hands.app.keying and hands.app.settings.keys == {}
    hands.click("settings.key.undo")
    hands.click("keying.cancel")
    assert not hands.app.keying and hands.app.settings.keys == {}


def test_the_usual_key_given_again_is_no_key_of_ones_own(hands):
    given(hands, "undo", "f9")
    given(hands, "undo", "z", ctrl=True)
    assert hands.app.settings.keys == {}


def test_letters_go_into_a_line_whatever_they_are_keys_for():
    own = Settings(toured=True, keys={"down": "j"})
    hands = Hands(settings=own)
    hands.send(("screen", "settings"))
    hands.send(("focus", "settings.name"))
    hands.key("j")
    assert hands.app.focus == "settings.name"


def test_an_act_is_taken_back_by_its_new_key():
    hands = Hands(settings=Settings(toured=True, keys={"undo": "f8"}))
    hands.begin("larkspur-row")
    hands.send(("act", {"act": "take off", "cover": "control-panel"}))
    n = len(hands.app.job.events)
    hands.key("z", ctrl=True)
    assert len(hands.app.job.events) == n
    hands.key("f8")
    assert len(hands.app.job.events) < n


def test_keys_are_kept(tmp_path):
    mine = Settings(keys={"undo": "f9", "next": "ctrl+n"}, toured=True)
    assert save_settings(tmp_path, mine) == ""
    assert load_settings(tmp_path) == (mine, "")


@pytest.mark.parametrize(
    "bad",
    [5, None, ["f9"], {"undo": 5}, {"no such": "f9"}, {"undo": "f6"}, {"undo": ""},
     {"undo": "backspace"}, {"undo": "z+ctrl+"}, {"undo": "x" * 100}, {"undo": "f9", "next": "f9"}],
)  # fmt: skip
def test_damaged_keys_are_the_usual_ones_and_it_is_said(tmp_path, bad):
    data = {"name": "Ann", "keys": bad}
    (tmp_path / FILE).write_text(json.dumps(data), encoding="utf-8")
    settings, told = load_settings(tmp_path)
    assert settings == replace(Settings(), name="Ann")
    assert "the usual keys are used" in told


def test_keys_as_they_are_printed():
    assert keys.shown("ctrl+shift+f6") == "Ctrl + Shift + F6"
    assert keys.shown("pagedown") == "Page down" and keys.shown("-") == "−"
    assert keys.chord_of("=", True, False) == "+" and keys.chord_of("z", False, True) == "ctrl+z"


def test_the_tour_names_the_keys_that_a_person_has():
    own = {"next": "f2", "area": "f7", "do": "f3", "lay down": "f4"}
    app = App(screen="tour", tour=1, settings=Settings(keys=own))
    words = " ".join(s.text for s in frame(app).shapes if hasattr(s, "text"))
    for chord in own.values():
        assert keys.shown(chord) in words
    assert "Escape" not in words and "Tab" not in words
