"""Random plates: an answer or a refusal in plain words, never a crash, and rules that hold."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from tests.outside import examples
from tests.sizing.plates import plate
from trainer.base.errors import TrainerError
from trainer.sizing.choose import recommend

PLATES = st.fixed_dictionaries(
    {
        "volts": st.sampled_from([115.0, 208.0, 230.0, 240.0]),
        "hz": st.sampled_from([50.0, 60.0]),
        "rla": st.floats(1.0, 60.0),
        "ratio": st.floats(0.9, 14.0),
        "run": st.floats(2.0, 120.0),
        "fan": st.floats(0.0, 4.0),
        "compressor": st.sampled_from(["scroll", "reciprocating", "rotary"]),
        "metering": st.sampled_from(["fixed_orifice", "hard_shutoff_valve"]),
        "complaint": st.sampled_from(["none", "will_not_start", "lights_dip", "generator"]),
        "sheet": st.none() | st.tuples(st.floats(10.0, 400.0), st.floats(60.0, 400.0)),
    }
)


def built(drawn):
    sheet = drawn["sheet"] and {
        "sheet": "invented",
        "start_capacitor": [f"{drawn['sheet'][0]} uF", f"{1.2 * drawn['sheet'][0]} uF"],
        "relay": {
            "pickup": [f"{drawn['sheet'][1]} V", f"{1.2 * drawn['sheet'][1]} V"],
            "dropout_most": f"{0.5 * drawn['sheet'][1]} V",
            "continuous": f"{2 * drawn['sheet'][1]} V",
        },
    }
    return plate(
        volts=f"{drawn['volts']} V", hz=f"{drawn['hz']} Hz", rla=f"{drawn['rla']} A",
        lra=f"{drawn['rla'] * drawn['ratio']} A", run_capacitor=f"{drawn['run']} uF",
        fan_fla=f"{drawn['fan']} A", compressor=drawn["compressor"], metering=drawn["metering"],
        complaint=drawn["complaint"], ohms=None, maker_table=sheet,
    )  # fmt: skip


@settings(max_examples=examples(60))
@given(PLATES)
def test_any_plate_is_answered_or_refused(drawn):
    try:
        found = recommend(built(drawn), prove=False)
    except (ValidationError, TrainerError):
        return
    figures = found.figures
    rla, fan = drawn["rla"], drawn["fan"]
    assert math.isclose(figures["minimum_circuit_ampacity"].number, 1.25 * rla + fan)
    assert figures["largest_breaker"].number <= max(15.0, 1.75 * rla + fan + 10.0)
    assert figures["disconnect"].number < figures["minimum_circuit_ampacity"].number + 0.2 * fan
    for name in ("start_capacitor", "generator_without_aid", "starter_class"):
        value = figures[name].value
        assert value is None or isinstance(value, str) or all(math.isfinite(v) for v in ends(value))
    assert (found.kit is None) == ("relay_pickup" not in figures)
    if drawn["sheet"]:
        assert found.kit.from_maker


def ends(value):
    return value if isinstance(value, tuple) else (value,)
