"""The refrigerant book's arithmetic: legs, balances, mirrors, and how draws are poured into where they went."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.core.mass import ZERO, Mass, total


class Purpose(StrEnum):
    """Why mass moves. The usage report has a row for each."""

    OPENING = "opening"
    RECEIVED = "received"
    RETURNED = "returned"
    DAMAGED = "damaged"  # gone before our work, or refused later: the supplier's, not ours
    CHARGED = "charged"
    HOSES = "hoses"
    PURGED = "purged"
    RELEASED = "released"
    RECOVERED = "recovered"
    RECOVERED_BACK = "recovered back"
    HEEL = "heel"
    FILL = "fill"
    SHIPPED = "shipped"
    COUNTED = "counted"
    SWAPPED = "swapped"


class PlaceKind(StrEnum):
    """What kinds of place there are: two inside the cabinet, the rest outside."""

    CAN = "can"
    CYLINDER = "cylinder"
    SUPPLIER = "supplier"
    VEHICLES = "vehicles"
    HOSES = "hoses"
    AIR = "air"
    FACILITY = "facility"
    FILL = "fill difference"
    UNEXPLAINED = "unexplained"
    OPENING = "before the book"


@dataclass(frozen=True, slots=True)
class Leg:
    """One movement to be: where mass leaves, where it arrives, how much (more than nothing), and why."""

    source: str
    target: str
    mass: Mass
    purpose: Purpose

    def __post_init__(self) -> None:
        if self.mass <= ZERO:
            raise ValueError("a movement has mass")
        if self.source == self.target:
            raise ValueError("a movement goes somewhere")


def balances(legs: Iterable[Leg]) -> dict[str, Mass]:
    """Each place's balance, in minus out. All balances together are always nothing."""
    held: dict[str, Mass] = {}
    for leg in legs:
        held[leg.source] = held.get(leg.source, ZERO) - leg.mass
        held[leg.target] = held.get(leg.target, ZERO) + leg.mass
    return held


def mirrored(legs: Iterable[Leg]) -> tuple[Leg, ...]:
    """The legs that undo these, last first."""
    return tuple(Leg(leg.target, leg.source, leg.mass, leg.purpose) for leg in reversed(list(legs)))


def share_out(
    draws: Sequence[tuple[str, Mass]], shares: Sequence[tuple[str, Purpose, Mass]]
) -> tuple[Leg, ...]:
    """Pour (container, drawn) one after the other into (place, purpose, mass), exactly.

    Raises ``ValueError`` when the draws and the shares are not the same mass in all, or one of them is below nothing.
    """
    drawn, shared = [mass for _, mass in draws], [mass for _, _, mass in shares]
    if any(mass < ZERO for mass in (*drawn, *shared)):
        raise ValueError("a draw or a share is less than nothing")
    if total(drawn) != total(shared):
        raise ValueError("what was drawn is not what went somewhere")
    legs: list[Leg] = []
    left = [(source, mass) for source, mass in draws if mass > ZERO]
    for target, purpose, share in shares:
        wanted = share
        while wanted > ZERO:
            source, available = left.pop(0)
            poured = min(available, wanted)
            legs.append(Leg(source, target, poured, purpose))
            wanted -= poured
            if available > poured:
                left.insert(0, (source, available - poured))
    return tuple(legs)
