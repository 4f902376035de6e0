"""Register of check values about codes, supply, flicker, capacitors and shock: id to test.

"not applicable: reason" where no test stands for a row.
"""

_HERE = "tests/tables/test_k_sizing.py::"

ROWS: dict[str, str] = {
    "K41": _HERE + "test_k41_minimum_circuit_ampacity",
    "K42": _HERE + "test_k42_breaker_of_a_unit_with_a_fan",
    "K43": _HERE + "test_k43_breaker_of_a_single_compressor",
    "K44": _HERE + "test_k44_disconnect",
    "K45": _HERE + "test_k45_locked_amps_from_code_letter",
    "K46": _HERE + "test_k46_locked_amps_are_six_times_full_load",
    "K47": _HERE + "test_k47_drop_of_a_branch",
    "K48": _HERE + "test_k48_drop_while_locked",
    "K49": _HERE + "test_k49_cold_wire",
    "K50": _HERE + "test_k50_transformer_ohms",
    "K51": _HERE + "test_k51_sag_on_25_kva",
    "K52": _HERE + "test_k52_sag_on_10_kva",
    "K53": _HERE + "test_k53_sag_on_25_kva_with_conductors",
    "K55": _HERE + "test_k55_pst_one_points_120_v_60_hz",
    "K56": _HERE + "test_k56_pst_one_points_230_v_50_hz",
    "K57": _HERE + "test_k57_pst_is_linear_in_the_change",
    "K58": _HERE + "test_k58_ten_steps_in_ten_minutes",
    "K59": _HERE + "test_k59_one_change_for_pst_one",
    "K60": _HERE + "test_k60_reference_impedance",
    "K61": _HERE + "test_k61_amps_for_four_per_cent",
    "K62": _HERE + "test_k62_generator_dip",
    "K63": _HERE + "test_k63_energy_of_a_start_capacitor",
    "K64": _HERE + "test_k64_energy_of_a_run_capacitor",
    "K65": _HERE + "test_k65_bleed_of_15_kohm",
    "K66": _HERE + "test_k66_largest_bleed_of_108_uf",
    "K67": _HERE + "test_k67_largest_bleed_of_40_uf",
    "K68": _HERE + "test_k68_discharge_tool",
    "K69": _HERE + "test_k69_hazard_class",
    "K70": _HERE + "test_k70_discharge_through_a_body",
    "K71": _HERE + "test_k71_touch_current",
    "K76": _HERE + "test_k76_run_capacitor_tolerance",
    "K77": _HERE + "test_k77_start_capacitor_range",
    "K78": _HERE + "test_k78_life_exponent",
    "K79": _HERE + "test_k79_film_life",
    "K80": _HERE + "test_k80_contactor_pull_in",
    "K81": _HERE + "test_k81_least_operating_volts",
}
