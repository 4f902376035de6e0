"""Generator sets: dip, running load, height, classes."""

import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import generator


def test_start_kva_of_a_compressor():
    # 230 V x 79 A
    assert generator.start_kva(230.0, 79.0).value == approx(18.17)


def test_the_set_for_a_dip_makes_that_dip():
    needed = generator.set_for_dip(18.17, 0.30)
    assert needed == approx(18.17 * 0.2 * 0.7 / 0.3)
    assert generator.dip(needed, 18.17) == approx(0.30)


def test_the_quick_form_is_close_for_small_dips_only():
    assert generator.dip_quick(100.0, 10.0) == approx(generator.dip(100.0, 10.0), rel=0.03)
    assert generator.dip_quick(10.0, 20.0) > 1.35 * generator.dip(10.0, 20.0)


def test_running_load_can_decide():
    found = generator.needed_kva(start=5.0, running=8.0)
    assert found.value == approx(10.0)
    assert "running load" in found.rule
    assert "the start's dip" in generator.needed_kva(start=50.0, running=3.0).rule


def test_height_asks_for_a_larger_set():
    # engine practice (from memory): 3.5 % less per 1,000 ft; 5,000 ft leaves 82.5 %
    assert generator.derate(1524.0) == approx(0.825)
    low = generator.needed_kva(18.0, 3.0).number
    assert generator.needed_kva(18.0, 3.0, height_m=1524.0).number == approx(low / 0.825)


@pytest.mark.parametrize(
    "dip, name",
    # ISO 8528-5 (from memory): G3 15 %, G2 20 %, G1 25 %
    [(0.15, "G3"), (0.151, "G2"), (0.20, "G2"), (0.25, "G1"), (0.26, None)],
)
def test_dip_classes(dip, name):
    assert generator.dip_class(dip) == name


def test_impossible_dips_are_refused():
    with pytest.raises(TrainerError, match="not possible"):
        generator.set_for_dip(18.0, 1.0)
    with pytest.raises(TrainerError, match="beyond any engine"):
        generator.derate(9000.0)
