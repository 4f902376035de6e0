"""A moment as machines write it: UTC, ISO 8601. Knows the calendar; must read no clock."""

from __future__ import annotations

DAY_MS = 86_400_000


def iso(ms: int) -> str:
    """'2026-03-04T15:12:09.250Z' of milliseconds since 1970 (days to date: Howard Hinnant's
    civil_from_days, Gregorian calendar)."""
    days, rest = divmod(ms, DAY_MS)
    year, month, day = _date(days)
    seconds, milli = divmod(rest, 1000)
    clock = f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{year:04d}-{month:02d}-{day:02d}T{clock}.{milli:03d}Z"


def _date(days: int) -> tuple[int, int, int]:
    z = days + 719_468
    era, of_era = divmod(z, 146_097)
    year = (of_era - of_era // 1460 + of_era // 36_524 - of_era // 146_096) // 365
    of_year = of_era - (365 * year + year // 4 - year // 100)
    shifted = (5 * of_year + 2) // 153
    day = of_year - (153 * shifted + 2) // 5 + 1
    month = shifted + 3 if shifted < 10 else shifted - 9
    return year + era * 400 + (month <= 2), month, day


def duration(ms: int) -> str:
    """'PT18M32.5S' (ISO 8601); precision of a hundredth of a second, as record stores keep."""
    hundredths = max(0, ms) // 10
    minutes, left = divmod(hundredths, 6000)
    seconds, part = divmod(left, 100)
    fine = f".{part:02d}".rstrip("0") if part else ""
    hours, minutes = divmod(minutes, 60)
    big = (f"{hours}H" if hours else "") + (f"{minutes}M" if minutes else "")
    small = f"{seconds}{fine}S" if seconds or part or not big else ""
    return f"PT{big}{small}"
