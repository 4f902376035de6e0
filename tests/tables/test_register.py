"""Every check value K01 to K81 is asserted by a test that exists, or says why not."""

import ast
from pathlib import Path

import pytest

from tests.tables import rows_motor, rows_sizing

ROOT = Path(__file__).resolve().parents[2]
ALL = [f"K{number:02d}" for number in range(1, 82)]
NOT = "not applicable: "
#: More rows than this without a test would make the register a fig leaf.
NOT_APPLICABLE_MOST = 6
ROWS = rows_motor.ROWS | rows_sizing.ROWS


def functions_of(path):
    """Tests of a file, with the assertions (or expected errors) each holds."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return {
        node.name: sum(
            isinstance(inner, ast.Assert) or "raises" in ast.dump(inner)[:200]
            for inner in ast.walk(node)
        )
        for node in tree.body
        if isinstance(node, ast.FunctionDef)
    }


def test_every_row_is_registered_once():
    assert sorted(ROWS) == ALL
    assert not set(rows_motor.ROWS) & set(rows_sizing.ROWS)


def test_few_rows_are_not_applicable_and_say_why():
    without = {row: where for row, where in ROWS.items() if where.startswith(NOT)}
    assert len(without) <= NOT_APPLICABLE_MOST
    assert all(len(where) > len(NOT) + 10 for where in without.values())


@pytest.mark.parametrize("row", [row for row in ALL if not ROWS.get(row, NOT).startswith(NOT)])
def test_row_points_to_a_test_that_asserts(row):
    path, _, name = ROWS[row].partition("::")
    assert row.lower() in name.lower(), "a test carries the number of its row"
    assert functions_of(path).get(name, 0) > 0, f"{ROWS[row]} asserts nothing or is not there"


def test_no_two_rows_share_a_test():
    assert len(set(ROWS.values())) == len(ROWS)
