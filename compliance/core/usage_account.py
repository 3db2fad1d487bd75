"""The two accounts of a usage report: what cans and cylinders had, what came, what left, and what was found.

How the columns are made to add up: all amounts of one report are printed with the same number of decimals, none when
every amount is whole grams and one otherwise. Inside a column each amount is rounded by itself; if the rounded ones
do not come to the rounded total, the largest remainders are rounded up (``wording.footed``). The jobs, technicians
and purchases are then rounded so as to come to the very figure that the account prints.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compliance.core.usage_report_facts import NewRefrigerant, RecoveredRefrigerant, UsageReportFacts
from compliance.core.wording import footed, held, number, places_for


@dataclass(frozen=True, slots=True)
class NewAccount:
    """One refrigerant in cans as it is printed: micrograms, rounded so that the column adds up."""

    facts: NewRefrigerant
    opening: int
    received: int
    damaged: int
    fill: int
    vehicles: int
    hoses: int
    back: int
    heels: int
    released: int
    returned: int
    expected: int
    counted: int | None

    @property
    def difference(self) -> int | None:
        """Counted minus expected, of the two printed figures."""
        return None if self.counted is None else self.counted - self.expected


@dataclass(frozen=True, slots=True)
class RecoveredAccount:
    """One refrigerant in cylinders as it is printed."""

    facts: RecoveredRefrigerant
    opening: int
    vehicles: int
    back: int
    heels: int
    charged: int
    shipped: int
    released: int
    expected: int
    weighed: int | None

    @property
    def difference(self) -> int | None:
        return None if self.weighed is None else self.weighed - self.expected


@dataclass(frozen=True, slots=True)
class Accounts:
    """Both accounts of every refrigerant, and the decimals that the whole report prints."""

    places: int
    new: tuple[NewAccount, ...]
    recovered: tuple[RecoveredAccount, ...]

    def into_vehicles(self, refrigerant: str) -> int:
        """What went into vehicles out of cans and out of cylinders, as printed."""
        cans = sum(one.vehicles for one in self.new if one.facts.refrigerant == refrigerant)
        return cans + sum(one.charged for one in self.recovered if one.facts.refrigerant == refrigerant)

    def out_of_vehicles(self, refrigerant: str) -> int:
        return sum(one.vehicles for one in self.recovered if one.facts.refrigerant == refrigerant)

    def released(self, refrigerant: str) -> int:
        cans = sum(one.released for one in self.new if one.facts.refrigerant == refrigerant)
        return cans + sum(one.released for one in self.recovered if one.facts.refrigerant == refrigerant)

    def number(self, ug: int) -> str:
        return number(ug, self.places)


def accounts(facts: UsageReportFacts) -> Accounts:
    """Check both accounts to the microgram and round them for print. Raises ValueError when one does not hold."""
    places = places_for(_amounts(facts))
    return Accounts(
        places,
        tuple(_new(one, places) for one in facts.new if _moved(_new_parts(one), one.expected_ug)),
        tuple(
            _recovered(one, places)
            for one in facts.recovered
            if _moved(_recovered_parts(one), one.expected_ug)
        ),
    )


def _amounts(facts: UsageReportFacts) -> Iterator[int]:
    for one in facts.new:
        yield from (*_new_parts(one), one.counted_ug or 0)
    for cylinder in facts.recovered:
        yield from (*_recovered_parts(cylinder), cylinder.weighed_ug or 0)
    for job in facts.jobs:
        yield from (job.recovered_ug, job.charged_ug or 0)
    yield from (line.mass_ug for line in facts.purchases)
    yield from (line.mass_ug for line in facts.releases)
    for slip in facts.corrections:
        yield from (slip.charged_ug, slip.recovered_ug, slip.released_ug)


def _moved(parts: Sequence[int], expected: int) -> bool:
    return any(parts) or expected != 0


def _new_parts(one: NewRefrigerant) -> tuple[int, ...]:
    """In the order of the column, signed; they come to what is expected."""
    gone = (
        one.vehicles_ug,
        one.hoses_ug,
        one.recovered_back_ug,
        one.heels_ug,
        one.released_ug,
        one.returned_ug,
    )
    return (one.opening_ug, one.received_ug, one.damaged_ug, one.fill_ug, *(-part for part in gone))


def _recovered_parts(one: RecoveredRefrigerant) -> tuple[int, ...]:
    gone = (one.charged_ug, one.shipped_ug, one.released_ug)
    return (one.opening_ug, one.vehicles_ug, one.recovered_back_ug, one.heels_ug, *(-part for part in gone))


def _new(one: NewRefrigerant, places: int) -> NewAccount:
    held(_new_parts(one), one.expected_ug, f"{one.refrigerant} in cans")
    if one.counted_ug is not None:
        held([one.expected_ug, one.difference_ug or 0], one.counted_ug, f"{one.refrigerant} counted")
    shown = footed(_new_parts(one), one.expected_ug, places)
    opening, received, damaged, fill, *gone = shown
    vehicles, hoses, back, heels, released, returned = (-part for part in gone)
    return NewAccount(
        facts=one,
        opening=opening,
        received=received,
        damaged=damaged,
        fill=fill,
        vehicles=vehicles,
        hoses=hoses,
        back=back,
        heels=heels,
        released=released,
        returned=returned,
        expected=sum(shown),
        counted=_alone(one.counted_ug, places),
    )


def _recovered(one: RecoveredRefrigerant, places: int) -> RecoveredAccount:
    held(_recovered_parts(one), one.expected_ug, f"{one.refrigerant} in cylinders")
    if one.weighed_ug is not None:
        held([one.expected_ug, one.difference_ug or 0], one.weighed_ug, f"{one.refrigerant} weighed")
    shown = footed(_recovered_parts(one), one.expected_ug, places)
    opening, vehicles, back, heels, *gone = shown
    charged, shipped, released = (-part for part in gone)
    return RecoveredAccount(
        facts=one,
        opening=opening,
        vehicles=vehicles,
        back=back,
        heels=heels,
        charged=charged,
        shipped=shipped,
        released=released,
        expected=sum(shown),
        weighed=_alone(one.weighed_ug, places),
    )


def _alone(ug: int | None, places: int) -> int | None:
    return None if ug is None else footed([ug], ug, places)[0]
