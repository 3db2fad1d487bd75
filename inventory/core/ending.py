"""An empty can thrown away: what its last weight says is left in it, and what the book does about that."""

from __future__ import annotations

from inventory.core.ledger import Leg, Purpose
from shop.core.mass import ZERO, Mass


def heel_of(gross: Mass, shell: Mass) -> Mass:
    """What a bare can weighs over its kind's shell; nothing when it weighs a little less."""
    return max(gross - shell, ZERO)


def disposal_legs(code: str, *, book: Mass, heel: Mass, spread: Mass) -> tuple[Leg, ...]:
    """The movements that bring a can's book to nothing.

    A heel within the spread of its shell cannot be told from an empty can: what the book still has is fill difference.
    A larger one goes out with the can, so it is released; it never becomes a difference that nobody explains.
    """
    seen = heel if heel > spread else ZERO
    legs = []
    if seen > book:
        legs.append(Leg("fill difference", code, seen - book, Purpose.FILL))
    if seen > ZERO:
        legs.append(Leg(code, "air", seen, Purpose.RELEASED))
    if book > seen:
        legs.append(Leg(code, "fill difference", book - seen, Purpose.FILL))
    return tuple(legs)
