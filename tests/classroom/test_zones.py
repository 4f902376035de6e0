"""Due times in the zone of the school across a change of clocks, kept in UTC.

Dates of the changes of America/Chicago: IANA tz database (2026-03-08 and 2026-11-01).
"""

import pytest

from trainer.base.errors import TrainerError
from trainer.classroom.zones import shown, to_ms

HOUR = 3_600_000
CHICAGO = "America/Chicago"


def test_a_day_with_a_change_has_another_length():
    before, after = to_ms("2026-10-31 23:59", CHICAGO), to_ms("2026-11-01 23:59", CHICAGO)
    assert after - before == 25 * HOUR
    before, after = to_ms("2026-03-07 23:59", CHICAGO), to_ms("2026-03-08 23:59", CHICAGO)
    assert after - before == 23 * HOUR


def test_it_is_shown_with_its_zone():
    assert shown(to_ms("2026-11-01 23:59", CHICAGO), CHICAGO) == (
        "2026-11-01 23:59 CST (America/Chicago)"
    )
    assert shown(to_ms("2026-07-01 08:00", CHICAGO), "UTC") == "2026-07-01 13:00 UTC (UTC)"


def test_a_time_shown_twice_is_the_later_one():
    assert to_ms("2026-11-01 01:30", CHICAGO) == to_ms("2026-11-01T01:30-06:00", "UTC")


def test_a_time_the_clocks_skip_is_refused():
    with pytest.raises(TrainerError, match="skip 2026-03-08 02:30"):
        to_ms("2026-03-08 02:30", CHICAGO)


@pytest.mark.parametrize("text", ["", "tomorrow", "2026-13-01 10:00", "30.11.2026"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(TrainerError, match="is no time"):
        to_ms(text, CHICAGO, "--due")


def test_a_zone_nobody_knows():
    with pytest.raises(TrainerError, match="no time zone"):
        to_ms("2026-11-01 10:00", "Mars/North")
    with pytest.raises(TrainerError, match="no time zone"):
        to_ms("2026-11-01 10:00", "../../etc/passwd")
