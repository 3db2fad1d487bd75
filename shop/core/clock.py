"""Instants as a page sends them back."""

from __future__ import annotations

from datetime import UTC, datetime


def pressed_instant(text: object) -> datetime | None:
    """The instant that a pressed clock wrote down; None for anything else, however it came there."""
    try:
        instant = datetime.fromisoformat(str(text)) if text else None
        sound = instant is not None and instant.tzinfo is not None and 2000 <= instant.year < 2200
        return instant.astimezone(UTC) if instant is not None and sound else None
    except (ValueError, OverflowError):
        return None


def milliseconds(instant: datetime) -> int:
    """Since 1970, rounded down: an instant as a number, the same on every clock of the world."""
    return int(instant.timestamp() * 1000 // 1)
