"""The language is a context, and English that was written elsewhere is known again in it."""

import pytest

from trainer.base.retold import again, spelt
from trainer.base.tongue import PSEUDO, speaking, spoken, term, tr

#: English of a file, and how a Spanish reader has it. Sentences and names are invented.
TOLD = {
    "The leads are whole.": "Las puntas están enteras.",
    "[25] meter, V ac, contactor.T1:a and chassis: 118.8 V (the figure wanders).": (
        "[25] multímetro, V CA, contactor.T1:a y chasis: 118.8 V (la cifra se pasea)."
    ),
    "Disconnect is open.": "Desconectador está abierto.",
    "You cannot get at contactor.T1: the control-panel is on.": (
        "No puede llegar a contactor.T1: está puesta la tapa panel de control."
    ),
    "Comp still turns backwards. Fan trips.": (
        "Compresor sigue girando al revés. Ventilador se dispara."
    ),
    "A wire is missing from 2 of the relay to C of the dual capacitor. And 1 more.": (
        "Falta un cable de 2 del relé a C del capacitor doble. Y 1 más."
    ),
    "The red wire 4 from S of the compressor is on T1 of the contactor; "
    "it belongs on HERM of the dual capacitor.": (
        "El cable rojo 4, que viene de S del compresor, está en T1 del contactor; "
        "va en HERM del capacitor doble."
    ),
}


def test_english_unless_a_language_is_chosen_and_english_again_afterwards():
    assert spoken() == "en"
    with speaking("es"):
        assert spoken() == "es"
        assert tr("The lock is off {part}.", part="x") == "El candado ya no está en x."
    assert spoken() == "en"
    assert tr("The lock is off {part}.", part="x") == "The lock is off x."


def test_the_language_is_given_back_after_a_fault():
    with pytest.raises(KeyError), speaking("es"):
        raise KeyError("x")
    assert spoken() == "en"


@pytest.mark.parametrize("english", TOLD)
def test_a_sentence_with_words_in_it_is_known_again(english):
    assert again(english) == english
    with speaking("es"):
        assert again(english) == TOLD[english]


def test_what_nobody_translated_stays_as_it_is():
    own = "Mind the goat behind shed 4. It bites if called."
    with speaking("es"):
        assert again(own) == own
        assert again("") == ""
        assert again("Comp turns. Mind the goat. Fan turns.") == (
            "Compresor gira. Mind the goat. Ventilador gira."
        )


def test_a_name_an_instructor_gave_does_not_keep_a_sentence_english():
    with speaking("es"):
        told = again("You cannot get at comp.S: the hatch of the old boiler is on.")
    assert told == "No puede llegar a compresor.S: está puesta la tapa hatch of the old boiler."


def test_places_and_words_stand_in_sentences_in_the_language():
    with speaking("es"):
        assert spelt("comp.S and chassis") == "compresor.S y chasis"
        assert spelt("P1") == "P1"
        assert term("device", "relay") == "del relé"


def test_what_is_printed_on_a_part_stays_as_printed():
    with speaking("es"):
        assert again("can: printed 35+5 uF 440 VAC.") == "capacitor: impreso 35+5 uF 440 VAC."


def test_the_trying_language_marks_what_is_known_and_nothing_else():
    with speaking(PSEUDO):
        assert again("Comp turns.").startswith("[")
        assert again("Mind the goat.") == "Mind the goat."
