"""Every planted condition shows what its row says: live, with a lead lifted, beside its look-alike,
and not on a good unit. The rows are in signatures_*.py, grouped as the trade's table groups them.
"""

from __future__ import annotations

import pytest

from tests.outside import share
from tests.unit import signatures_parts, signatures_start_gear, signatures_supply, signatures_wiring
from tests.unit.signatures import Row, differs, is_told_from_healthy, shows, shows_lifted
from trainer.unit.faults import FAULTS

GROUPS = (signatures_wiring, signatures_start_gear, signatures_parts, signatures_supply)
ROWS = [row for group in GROUPS for row in group.TABLE]


def every(rows: list[Row]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", rows, ids=lambda row: row.fault)


def test_every_condition_has_one_row() -> None:
    assert sorted(row.fault for row in ROWS) == sorted(FAULTS)


@every(ROWS)
def test_it_shows(row: Row) -> None:
    shows(row)


@every(share(ROWS, 3))
def test_it_shows_with_a_lead_lifted(row: Row) -> None:
    shows_lifted(row)


@every(share(ROWS, 3, 1))
def test_its_look_alike_differs(row: Row) -> None:
    differs(row)


@every(share(ROWS, 3, 2))
def test_a_good_unit_does_not_show_it(row: Row) -> None:
    is_told_from_healthy(row)
