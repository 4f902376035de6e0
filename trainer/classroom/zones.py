"""Times as people write them, in the zone of the school, and as they are kept: UTC milliseconds.

A time that a clock skips in spring is refused; one that it shows twice in autumn is the later one,
so that nobody's time is cut short. Knows the calendar; must know no class.
"""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from trainer.base.errors import TrainerError, quoted

FORM = "2026-11-30 23:59"


def zone_of(name: str) -> ZoneInfo:
    """A zone of the tz database. Raises TrainerError."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise TrainerError(
            f"there is no time zone {quoted(name)}", hint="such as America/Chicago or UTC"
        ) from None


def to_ms(text: str, zone: str, what: str = "time") -> int:
    """'2026-11-30 23:59' in a zone, or with its own offset, as UTC milliseconds."""
    try:
        given = datetime.fromisoformat(text.strip())
    except ValueError:
        raise TrainerError(f"{quoted(text)} is no time", what, f"write {FORM}") from None
    if given.tzinfo is None:
        given = _placed(given, zone, what)
    return round(given.timestamp() * 1000.0)


def _placed(given: datetime, zone: str, what: str) -> datetime:
    here = zone_of(zone)
    early, late = given.replace(tzinfo=here, fold=0), given.replace(tzinfo=here, fold=1)
    if early.astimezone(UTC).astimezone(here).replace(tzinfo=None) != given:
        raise TrainerError(
            f"the clocks of {zone} skip {given:%Y-%m-%d %H:%M}", what, "a time an hour away"
        )
    return max(early, late, key=lambda t: t.astimezone(UTC))


def shown(ms: int, zone: str) -> str:
    """'2026-11-30 23:59 CST (America/Chicago)'."""
    moment = datetime.fromtimestamp(ms / 1000.0, zone_of(zone))
    return f"{moment:%Y-%m-%d %H:%M %Z} ({zone})"


def short(ms: int, zone: str) -> str:
    """'2026-11-30 23:59 CST', where the place is short."""
    return f"{datetime.fromtimestamp(ms / 1000.0, zone_of(zone)):%Y-%m-%d %H:%M %Z}"
