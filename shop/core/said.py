"""When something was typed that reached the shop's record later: what the device's clock said, and how far that holds.

The instant of receipt is certain. The instant of typing is a claim of a clock that anybody can set, so it is taken only
where it fits between what was on record before and the receipt; else the receipt counts, and both are told.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from shop.core.phrase import phrase

DRIFT = timedelta(
    minutes=2
)  # by how much two clocks may differ and be called the same; the tool's own choice
MOST_AHEAD = timedelta(days=36525)  # beyond this a device's clock says nothing


class Doubt(StrEnum):
    """Why the receipt counts and not the time that was said."""

    NONE = ""
    UNREADABLE = phrase("its time cannot be read")
    AFTER_RECEIPT = phrase("its time lies after it was received")
    OUT_OF_ORDER = phrase("its time lies before what was on record already")


@dataclass(frozen=True, slots=True)
class Said:
    """``typed_at`` as the device's clock showed it, ``ahead`` by how much that clock was before the shop's when the
    two last met (None: they never did), ``at`` the instant that counts."""

    at: datetime
    typed_at: datetime | None
    ahead: timedelta | None
    doubt: Doubt = Doubt.NONE

    @property
    def clock_far_off(self) -> bool:
        return self.ahead is not None and abs(self.ahead) > DRIFT


def settle(
    typed_at: datetime | None, ahead: timedelta | None, *, received: datetime, not_before: datetime
) -> Said:
    """Which instant counts for an entry that waited on a device.

    The device's time is put right by ``ahead`` first. A time a little after the receipt is the receipt.
    """
    if typed_at is None:
        return Said(received, None, ahead, Doubt.UNREADABLE)
    at = typed_at - (ahead or timedelta())
    if at > received + DRIFT:
        return Said(received, typed_at, ahead, Doubt.AFTER_RECEIPT)
    if at < not_before:
        return Said(received, typed_at, ahead, Doubt.OUT_OF_ORDER)
    return Said(min(at, received), typed_at, ahead)


def instant_of(text: str) -> datetime | None:
    """An instant as a device writes it, ISO 8601 with its zone; None for anything else."""
    try:
        read = datetime.fromisoformat(text)
        return read.astimezone(UTC) if read.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None


def ahead_of(text: str) -> timedelta | None:
    """How far a device's clock was ahead, in whole milliseconds as it writes them; None when it does not know."""
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdecimal() and len(digits) < 15):
        return None
    ahead = timedelta(milliseconds=int(text))
    return ahead if abs(ahead) < MOST_AHEAD else None
