"""Plates for the tests of sizing: the anchor motor's, invented."""

from trainer.sizing.nameplate_file import NameplateFile

PLATE = {
    "nameplate": 1,
    "title": "invented",
    "volts": "230 V",
    "hz": "60 Hz",
    "compressor": "scroll",
    "rla": "13.9 A",
    "lra": "78.6 A",
    "run_capacitor": "35 uF",
    "ohms": {"common_run": "0.55 ohm", "common_start": "2.2 ohm"},
}


def plate(**more):
    """The anchor's plate with other entries laid over it; None takes an entry away."""
    data = {key: value for key, value in {**PLATE, **more}.items() if value is not None}
    return NameplateFile.model_validate(data)
