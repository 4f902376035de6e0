"""Broken studies: every fault at once, each with file, line, place and what to write."""

import pytest

from tests.study.text import GOOD, faults_of, written

KINDS = (
    "split_phase_service, wye_208, line_neutral_230, generator, inverter, breaker, fuse, "
    "disconnect, gfci, transfer_switch, contactor, control_transformer, thermostat_supply, "
    "delay_timer, pressure_switch, defrost_control, coil_sensor, reversing_valve, "
    "crankcase_heater, resistive_load, compressor, fan_motor, run_capacitor, dual_capacitor, "
    "start_capacitor, potential_relay, current_relay, ptc, timed_starter, soft_starter, splice"
)
NO_DS = "there is no part 'ds'; write one of service, breaker, comp, can"
NAMED = "cannot be the name of a part; write a letter, then letters, digits, - and _, at most 31"
KEYS = "one of study, title, about, parts, wires, acts, watch, until, reference, sensitive"
UNTIL = "until: 2 s"
DS = "  ds: {kind: disconnect}"

ONE_CHANGE = {
    "unknown kind": (
        "kind: breaker", "kind: breker",
        "5  parts.breaker.kind  'breker' is not a kind known here; write breaker",
    ),
    "no kind": (
        "kind: breaker, ", "",
        f"5  parts.breaker.kind  is missing; write kind: one of {KINDS}",
    ),
    "no unit": (
        "30 A", "30",
        "5  parts.breaker.rating  '30' has no unit; write 30 A (or another unit of amps)",
    ),
    "wrong unit": (
        "30 A", "30 V",
        "5  parts.breaker.rating  '30 V' measures volts, not amps; write a value such as 20 A",
    ),
    "negative": (
        "30 A", "-30 A",
        "5  parts.breaker.rating  '-30 A' must be above zero; write a value such as 20 A",
    ),
    "missing value": (
        ", rating: 30 A", "",
        "5  parts.breaker.rating  is missing; write rating: 20 A",
    ),
    "unknown terminal": (
        "breaker.1i", "breaker.1in",
        "10  wires[0].to  'breaker' has no terminal '1in'; write breaker.1i",
    ),
    "wire to a missing part": (
        "to: breaker.1i", "to: braker.1i",
        "10  wires[0].to  there is no part 'braker'; write breaker",
    ),
    "wire without a terminal": (
        "to: breaker.1i", "to: breaker",
        "10  wires[0].to  'breaker' names no terminal; write part.terminal, or chassis",
    ),
    "wire to itself": (
        "from: ds.T1", "from: comp.C",
        "12  wires[2].to  a wire from a terminal to itself; write another end",
    ),
    "wire that is no wire": (
        "- {from: ds.T1, to: comp.C}", "- ds.T1 to comp.C",
        "12  wires[2]  'ds.T1 to comp.C' must be keys with values; write key: value, "
        "indented below",
    ),
    "unknown gauge": (
        "gauge: 10 AWG", "gauge: 10 AGW",
        "10  wires[0].gauge  '10 AGW' is not a conductor known here; write 10 AWG",
    ),
    "wrong unit of a wire": (
        "length: 50 ft", "length: 50 V",
        "10  wires[0].length  '50 V' measures volts, not metres; write a value such as 50 ft",
    ),
    "no handle": (
        "close: ds", "close: comp",
        "17  acts[0].close  'comp' has no handle; write close: breaker or ds",
    ),
    "wrong verb for the part": (
        "close: ds", "call: ds",
        "17  acts[0].call  'ds' has nothing to call; write open: ds or close: ds",
    ),
    "unknown verb": (
        "close: ds", "closes: ds",
        "17  acts[0].closes  is not a key known here; write close",
    ),
    "act on a missing part": (
        "close: ds", "close: dss",
        "17  acts[0].close  there is no part 'dss'; write ds",
    ),
    "two verbs": (
        "close: ds", "close: ds, open: breaker",
        "17  acts[0]  an act does one thing to one part; this one does open and close; "
        "write {at: 0 s, close: disconnect}",
    ),
    "no verb": (
        "{at: 100 ms, close: ds}", "{at: 100 ms}",
        "17  acts[0]  an act does one thing to one part; this one does nothing; "
        "write {at: 0 s, close: disconnect}",
    ),
    "negative time": (
        "at: 100 ms", "at: -1 s",
        "17  acts[0].at  '-1 s' must be at least zero; write a value such as 0.5 s",
    ),
    "act after the end": (
        "at: 100 ms", "at: 5 s",
        "17  acts[0].at  it happens at 5 s, after the study ends at 2 s; "
        "write a time before 2 s, or a later until",
    ),
    "no time at all": (
        UNTIL, "until: 0 s",
        "18  until  '0 s' must be above zero; write a value such as 0.5 s",
    ),
    "longer than a start": (
        UNTIL, "until: 2 h",
        "18  until  '2 h' must be at most 120 s; write a value such as 0.5 s",
    ),
    "beyond anything": (
        "35 uF", "35 F",
        "8  parts.can.capacitance  35000000 µF is beyond anything on this bench; "
        "write a value between 10 pF and 100000 µF",
    ),
    "another version": (
        "study: 1", "study: 2", "1  study  '2' is not one of the words allowed; write 1",
    ),
    "no version": ("study: 1\n", "", "1  study  is missing; write study: 1"),
    "unknown machine": (
        "machine: anchor", "machine: ancor",
        "7  parts.comp.machine  'ancor' is not a machine known here; write anchor",
    ),
    "no machine": (
        ", machine: anchor", "",
        "7  parts.comp  no machine is given; write machine: anchor, or parameters, or nameplate",
    ),
    "impossible nameplate": (
        "machine: anchor",
        "nameplate: {volts: 230 V, rla: 20 A, lra: 15 A, run_capacitor: 35 uF}",
        "7  parts.comp.nameplate.lra  LRA 15 A is not above RLA 20 A; "
        "write the larger figure of the plate, often 4 to 7 times RLA",
    ),
    "ambiguous prefix": (
        "35 uF", "35 mF",
        "8  parts.can.capacitance  mF is read as millifarad by some and as microfarad by others; "
        "write 35 uF",
    ),
    "negative torque": (
        "machine: anchor", "machine: anchor, load: {torque: -7 N.m}",
        "7  parts.comp.load.torque  '-7 N.m' must be at least zero; write a value such as 7 N.m",
    ),
    "part that is no record": (
        "{kind: disconnect}", "disconnect",
        "6  parts.ds  'disconnect' must be keys with values; write key: value, indented below",
    ),
    "anchor": (
        DS, "  ds: &x {kind: disconnect}",
        "6  parts.ds  an anchor (&x) is not allowed; write the value without it",
    ),
    "watch of another kind": (
        UNTIL, UNTIL + "\nwatch: {compressor: can}",
        "19  watch.compressor  'can' is no compressor; write comp",
    ),
    "watch that is none": (
        UNTIL, UNTIL + "\nwatch: {compresor: comp}",
        "19  watch.compresor  is not a key known here; write compressor",
    ),
    "watch of nothing": (
        UNTIL, UNTIL + "\nwatch: {relay: pr}",
        "19  watch.relay  there is no part 'pr'; write a part of the study, or leave the line out",
    ),
    "two supplies": (
        DS, DS + "\n  gen: {kind: generator}",
        "1  watch.supply  2 parts could be the supply; write supply: service or gen",
    ),
    "reference that is not there": (
        UNTIL, UNTIL + "\nreference: pcs",
        "19  reference  there is no study 'pcs'; write ptc or psc",
    ),
    "hysteresis upside down": (
        "  can: {kind: run_capacitor, capacitance: 35 uF}",
        "  can: {kind: run_capacitor, capacitance: 35 uF}\n"
        "  pr: {kind: potential_relay, dropout: 400 V}",
        "9  parts.pr  the contact would close again at or above the volts that open it; "
        "write dropout: below 175 V",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", ONE_CHANGE)
def test_one_fault(case, tmp_path):
    old, new, fault = ONE_CHANGE[case]
    assert faults_of(written(tmp_path, (old, new))) == [f"broken.yaml:{fault}"]


SEVERAL = {
    "key misspelt": (
        [("rating: 30 A", "ratng: 30 A")],
        [
            "5  parts.breaker.rating  is missing; write rating: 20 A",
            "5  parts.breaker.ratng  is not a key known here; write rating",
        ],
    ),
    "one name twice": (
        [("  ds: {kind", "  breaker: {kind")],
        [
            "6  parts  'breaker' is written twice (first on line 5); write it once",
            f"11  wires[1].to  {NO_DS}",
            f"12  wires[2].from  {NO_DS}",
            f"17  acts[0].close  {NO_DS}",
        ],
    ),
    "name with a point": (
        [(DS, DS + "\n  a.b: {kind: disconnect}\n  chassis: {kind: disconnect}")],
        [
            f"7  parts.'a.b'  'a.b' {NAMED}, and not chassis",
            f"8  parts.chassis  'chassis' {NAMED}, and not chassis",
        ],
    ),
    "two frequencies": (
        [(DS, DS + "\n  gen: {kind: generator, hz: 50 Hz}")],
        [
            "1  watch.supply  2 parts could be the supply; write supply: service or gen",
            "7  parts.gen.hz  gen and service run at different frequencies; write hz: 60 Hz",
        ],
    ),
    "wires as a word": (
        [("wires:\n", "wires: none\nothers:\n")],
        [
            "9  wires  'none' must be a list; write - item, a line for each",
            f"10  others  is not a key known here; write {KEYS}",
        ],
    ),
    "one-pole breaker wired as two": (
        [("rating: 30 A}", "rating: 30 A, poles: 1}"), ("to: comp.R}", "to: breaker.2i}")],
        [
            "15  wires[5].to  'breaker' has no terminal '2i'; write one of breaker.1i, breaker.1o",
        ],
    ),
    "terminals are checked although the part has a fault": (
        [("rating: 30 A", "rating: 0 A, poles: 1"), ("breaker.1o", "breaker.2o")],
        [
            "5  parts.breaker.rating  '0 A' must be above zero; write a value such as 20 A",
            "11  wires[1].from  'breaker' has no terminal '2o'; "
            "write one of breaker.1i, breaker.1o",
        ],
    ),
    "a bit of everything": (
        [
            ("kind: breaker", "kind: breker"),
            ("capacitance: 35 uF", "capacitance: -35 uF"),
            ("can.1}", "can.3}"),
            ("close: ds", "close: nothing"),
            (UNTIL, "until: two"),
        ],
        [
            "5  parts.breaker.kind  'breker' is not a kind known here; write breaker",
            "8  parts.can.capacitance  '-35 uF' must be above zero; write a value such as 45 uF",
            "13  wires[3].to  'can' has no terminal '3'; write one of can.1, can.2",
            "17  acts[0].close  there is no part 'nothing'; "
            "write one of service, breaker, ds, comp, can",
            "18  until  'two' is no number with a unit; write 0.5 s",
        ],
    ),
}


@pytest.mark.parametrize("case", SEVERAL)
def test_several_faults_at_once(case, tmp_path):
    changes, faults = SEVERAL[case]
    assert faults_of(written(tmp_path, *changes)) == [f"broken.yaml:{fault}" for fault in faults]


def test_the_study_itself_is_in_order(tmp_path):
    assert faults_of(written(tmp_path)) == []


def test_too_many_wires_are_not_even_looked_at(tmp_path):
    many = "  - {from: comp.X, to: can.1}\n" * 501
    faults = faults_of(written(tmp_path, ("acts:\n", many + "acts:\n")))
    assert faults == ["broken.yaml:9  wires  507 wires are too many; write at most 500"]


def test_every_case_breaks_the_good_study():
    assert len(ONE_CHANGE) + len(SEVERAL) >= 40
    assert all(old in GOOD for old, _, _ in ONE_CHANGE.values())
