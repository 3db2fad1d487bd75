"""The arithmetic of a correction: from how a job was booked to how it should have been, as movements of today."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from inventory.core.ledger import Leg, Purpose
from shop.core.mass import ZERO, Mass


@dataclass(frozen=True, slots=True)
class Settled:
    """What brought a container's book to what was found in it after the job: a count, or a weighed heel.

    From then on the container holds what was found, whatever the job before took. A correction of that job so passes
    through the container to the account that took the difference up then.
    """

    container: str
    account: str
    purpose: Purpose


def difference(booked: Iterable[Leg], should: Iterable[Leg]) -> tuple[Leg, ...]:
    """The fewest movements that turn what was booked into what should have been, purpose by purpose.

    What was too much comes back the way it went. Raises nothing: the same legs twice give no movement.
    """
    net: dict[tuple[str, str, Purpose], Mass] = {}
    for legs, sign in ((should, 1), (booked, -1)):
        for leg in legs:
            forth = leg.source < leg.target
            key = (leg.source, leg.target) if forth else (leg.target, leg.source)
            whole = (*key, leg.purpose)
            net[whole] = net.get(whole, ZERO) + leg.mass * (sign if forth else -sign)
    return tuple(
        Leg(source, target, mass, purpose) if mass > ZERO else Leg(target, source, -mass, purpose)
        for (source, target, purpose), mass in net.items()
        if mass != ZERO
    )


def gained(legs: Iterable[Leg], container: str) -> Mass:
    """By how much these movements change what a container holds."""
    held = ZERO
    for leg in legs:
        if leg.target == container:
            held += leg.mass
        if leg.source == container:
            held -= leg.mass
    return held


def passed_on(legs: Iterable[Leg], settled: Mapping[str, Settled]) -> tuple[Leg, ...]:
    """What settled containers gained or lost by these movements, moved on to where their difference was taken up."""
    moved = list(legs)
    found = []
    for code, one in settled.items():
        more = gained(moved, code)
        if more > ZERO:
            found.append(Leg(code, one.account, more, one.purpose))
        elif more < ZERO:
            found.append(Leg(one.account, code, -more, one.purpose))
    return tuple(found)


def in_order(legs: Iterable[Leg], inside: Collection[str]) -> tuple[Leg, ...]:
    """What arrives in containers first, so that none is short on the way."""
    return tuple(sorted(legs, key=lambda leg: (leg.source in inside, leg.target not in inside)))
