"""Minutes after a start: an overload that resets and trips again."""

from functools import cache

from pytest import approx

from tests.starts.runs import report_of
from tests.starts.variants import study
from trainer.starts.run import run_start


@cache
def later(name, until_s):
    return run_start(study(name).model_copy(update={"reference": None}), until_s=until_s)


def test_a_short_study_has_no_afterwards():
    assert report_of("psc").later is None
    assert report_of("psc").as_data()["later"] is None


def test_a_locked_rotor_goes_on_tripping():
    found = later("locked-rotor", 400.0)
    kinds = [e.kind for e in found.later.events if e.name == "comp~overload"]
    assert kinds[:3] == ["reset", "tripped", "reset"]
    assert found.outcome == "tripped"


def test_a_running_unit_goes_on_running():
    found = later("psc", 300.0)
    assert found.later.until_s == 300.0
    # after five minutes the pressures have parted: 7.2 N m and 0.12 of friction. On paper, at
    # 240 V behind the supply, slip 1.37 % carries 5.12 and 2.66 % 9.12 N m: between them 2.05 %
    assert found.later.speed_rad_s / 376.99 == approx(0.9795, abs=0.001)
    # 4.9^2 x 2.2 W and 12^2 x 0.55 W through 0.15 K/W
    assert found.later.aux_c == approx(25.0 + 8.0, abs=1.5)
    assert found.later.main_c == approx(25.0 + 12.5, abs=2.5)
