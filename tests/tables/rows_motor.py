"""Register of check values about motors and windings: id to test.

"not applicable: reason" where no test stands for a row.
"""

_MOTOR = "tests/tables/test_k_motor.py::"
_START = "tests/tables/test_k_start.py::"
_LOAD = "tests/tables/test_k_load.py::"

ROWS: dict[str, str] = {
    "K01": _MOTOR + "test_k01_main_current",
    "K02": _MOTOR + "test_k02_auxiliary_current",
    "K03": _MOTOR + "test_k03_line_current",
    "K04": _MOTOR + "test_k04_capacitor_volts",
    "K05": _MOTOR + "test_k05_torque",
    "K06": _MOTOR + "test_k06_shaft_power_input_and_efficiency",
    "K07": _MOTOR + "test_k07_locked_line_current",
    "K08": _MOTOR + "test_k08_start_torque",
    "K09": _MOTOR + "test_k09_start_winding_volts_with_start_capacitor",
    "K10": _MOTOR + "test_k10_start_winding_volts_running",
    "K11": _START + "test_k11_start_capacitor_decides_whether_it_starts",
    "K12": _START + "test_k12_peak_main_current_by_closing_angle",
    "K13": _MOTOR + "test_k13_main_alone_current_and_power_factor",
    "K14": _MOTOR + "test_k14_main_alone_output",
    "K15": _MOTOR + "test_k15_ninety_degree_capacitor",
    "K16": _MOTOR + "test_k16_unbalanced_two_phase",
    "K17": _MOTOR + "test_k17_guru_line_current_and_input",
    "K18": _MOTOR + "test_k18_guru_capacitor_volts_torque_efficiency",
    "K19": _MOTOR + "test_k19_guru_start_torque",
    "K20": _MOTOR + "test_k20_guru_main_alone",
    "K21": _MOTOR + "test_k21_mcpherson_locked_with_capacitor",
    "K22": _MOTOR + "test_k22_mcpherson_main_alone",
    "K23": _MOTOR + "test_k23_chapman_problem_9_1",
    "K24": _MOTOR + "test_k24_chapman_problem_9_6",
    "K25": _MOTOR + "test_k25_chapman_example_9_1_exact",
    "K26": _MOTOR + "test_k26_quarter_horsepower_main_alone",
    "K27": _MOTOR + "test_k27_quarter_horsepower_locked_with_start_branch",
    "K28": _START + "test_k28_quarter_horsepower_time_to_the_switch",
    "K29": _MOTOR + "test_k29_feeder_compressor_locked",
    "K30": _MOTOR + "test_k30_feeder_compressor_running",
    "K31": _MOTOR + "test_k31_feeder_compressor_stall_volts",
    "K32": _START + "test_k32_hubert_capacitor_and_torque_gain",
    "K33": _START + "test_k33_kosow_line_current",
    "K34": _START + "test_k34_kulshreshtha_capacitor",
    "K35": _MOTOR + "test_k35_one_winding_does_not_pull_from_rest",
    "K36": _MOTOR + "test_k36_one_winding_pulls_alike_in_both_directions",
    "K37": _MOTOR + "test_k37_power_balance",
    "K38": _LOAD + "test_k38_polytropic_work",
    "K39": _LOAD + "test_k39_polytropic_work_small",
    "K40": _LOAD + "test_k40_inertia_from_h",
    "K54": _LOAD + "test_k54_torque_at_ninety_per_cent_volts",
    "K72": _LOAD + "test_k72_capacitance_under_load",
    "K73": _LOAD + "test_k73_constant_of_the_capacitance_formula",
    "K74": _LOAD + "test_k74_windings_in_series",
    "K75": _LOAD + "test_k75_winding_cooled",
}
