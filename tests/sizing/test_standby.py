"""Supply and generator figures for the anchor motor (invented)."""

from pytest import approx

from tests.sizing.motors import ANCHOR, ANCHOR_HZ, ANCHOR_RUN_F, ANCHOR_VOLTS
from tests.sizing.plates import plate
from trainer.motor import psc
from trainer.sizing import site, standby
from trainer.sizing.nameplate_file import Supply
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import Proof

LINE = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F)
RURAL = {
    "transformer": "10 kVA",
    "service": {"length": "100 ft", "gauge": "1/0 AWG Al"},
    "branch": {"length": "50 ft", "gauge": "10 AWG"},
}


def test_no_supply_no_figures():
    assert standby.supply_figures(plate(), ANCHOR, LINE) == {}


def test_source_impedance_adds_up():
    # 10 kVA at 240 V .0691 + j.0979 (IEEE 8500-node feeder, reduced), 100 ft 1/0 Al .0402 + j.006,
    # 50 ft 10 AWG copper .124 ohm (NEC 2023 Chapter 9 Table 8)
    z = site.source_ohms(Supply.model_validate(RURAL), 240.0)
    assert (z.real, z.imag) == (approx(0.2333, rel=1e-3), approx(0.1039, rel=2e-3))


def test_sag_on_a_rural_line():
    # anchor locked 78.6 A at 230 V; sag about I |Z| along the motor's angle
    found = standby.supply_figures(plate(supply=RURAL), ANCHOR, LINE)
    assert found["sag_ratio"].number == approx(0.065, abs=0.01)
    assert "complaints" in found["sag_ratio"].note
    assert "120 V 60 Hz" in found["pst"].rule


def test_a_line_to_neutral_supply_has_its_own_lamp():
    found = standby.supply_figures(plate(hz="50 Hz", ohms=None, supply=RURAL), ANCHOR, LINE)
    assert "230 V 50 Hz" in found["pst"].rule


P20 = Ruled("P20", "", "rule", "invented")


def soft(amps, seconds=0.2, outcome="clean"):
    return Proof("soft starter P20", "soft_starter", "line", 230.0, outcome, seconds, 60.0,
                 {"max_cycle_rms_line_a": amps})  # fmt: skip


def test_generator_with_and_without_an_aid():
    # 230 V x 79 A = 18.17 kVA: 18.17 x 0.2 x 0.7/0.3 = 8.48 kVA at 30 % dip (from memory);
    # the class claims 0.4 x 79 = 31.6 A, so the running load 13.9 A decides: 3.197/0.8 = 4.0 kVA
    found = standby.generator_figures(plate(lra="79 A"), 70.0, P20, None)
    assert found["generator_without_aid"].number == approx(8479, rel=1e-3)
    assert found["generator_with_relay_kit"].number == approx(8479 * 70 / 79, rel=1e-3)
    assert found["generator_with_soft_starter"].number == approx(3996, rel=1e-3)


def test_a_simulated_start_comes_before_the_claim():
    found = standby.generator_figures(plate(lra="79 A"), None, P20, soft(60.0))
    assert found["generator_with_soft_starter"].number == approx(8479 * 60 / 79, rel=1e-3)
    assert "claims 32 A" in found["generator_with_soft_starter"].note


def test_a_soft_starter_that_stalls_serves_no_generator():
    found = standby.generator_figures(plate(), None, P20, soft(60.0, None, "stalled"))
    assert found["generator_with_soft_starter"].value is None
    assert "stalled" in found["generator_with_soft_starter"].note


def test_aids_that_do_not_exist_have_no_generator():
    none = Ruled(None, "", "rule", "invented")
    assert set(standby.generator_figures(plate(), None, none, None)) == {"generator_without_aid"}
