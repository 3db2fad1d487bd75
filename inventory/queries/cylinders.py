"""Reads about recovery cylinders: the room left in one, and what was found when it was checked for air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from inventory.core.air_check import AirFound, air_answer
from inventory.core.cylinder import FillLimit, fill_answer, fill_limit, room_left, twice_u
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import good_until
from inventory.models import AirCheck, Container
from shop.core.answer import Answer
from shop.core.house import HouseRules
from shop.core.mass import ZERO, Mass


@dataclass(frozen=True, slots=True)
class Room:
    """A recovery cylinder against the smallest of its limits; ``doubt`` is two standard uncertainties of its scale."""

    cylinder: Container
    held: Mass
    fill: FillLimit
    doubt: Mass
    years: Decimal

    @property
    def limit(self) -> Mass:
        return self.fill.most

    @property
    def good_until(self) -> date:
        """The last day on which it may be filled, by its stamp and the shop's rule."""
        return good_until(self.cylinder.cylinder.requalified_on, self.years)

    @property
    def percent(self) -> int:
        """How full, in whole percent of the limit, rounded up so that full is never told as less."""
        return -(-self.held.ug * 100 // self.limit.ug)

    @property
    def is_nearly_full(self) -> bool:
        return self.percent >= 90  # the page says so before the recovery refuses

    @property
    def left(self) -> Mass:
        return room_left(self.limit, self.held, self.doubt)

    @property
    def is_over(self) -> bool:
        """More is in it than its scale can show to be safe."""
        return self.held + self.doubt > self.limit

    def takes(self, charge: Mass | None) -> bool:
        """Whether a car's whole label charge would go in; nobody can say for an unknown one."""
        return charge is None or charge <= self.left

    @property
    def answer(self) -> Answer:
        return fill_answer(self.fill, held=self.held, doubt=self.doubt)


def cylinder_room(
    cylinder: Container, rules: HouseRules, *, gross: Mass | None = None, division: Mass | None = None
) -> Room:
    """How full a cylinder is under the rules of a day, if it weighs ``gross`` on a scale with this division.

    Without these, one from ``containers`` as it stands: by the book, and while an open job has it by its last ticket
    if that says more, since the book waits for the closing and the scale does not.
    """
    stamps = cylinder.cylinder
    if gross is None:
        held, division = cylinder.book, cylinder.last_division
        if cylinder.waits_for is not None and cylinder.last_gross is not None:
            held = max(held, cylinder.last_gross - stamps.tare)
    else:
        held = max(gross - stamps.tare, ZERO)
    doubt = twice_u(held + stamps.tare, division, float(rules.scale_gain_percent) / 100)
    return Room(cylinder, held, _fill(cylinder, rules), doubt, rules.cylinder_years)


def cylinder_limit(cylinder: Container, rules: HouseRules) -> Mass:
    """The most that a cylinder may hold under the rules of a day."""
    return _fill(cylinder, rules).most


def _fill(cylinder: Container, rules: HouseRules) -> FillLimit:
    return fill_limit(cylinder.cylinder.water, rules.cylinder_fill_percent, gas_in(cylinder))


def gas_in(cylinder: Container) -> str:
    """What it holds; "unknown" from the moment that it was marked as mixed."""
    return UNKNOWN if hasattr(cylinder, "mixed") else cylinder.refrigerant_id


def air_checks(cylinder: Container) -> list[AirCheck]:
    """Every check of this cylinder for air, newest first."""
    return list(cylinder.air_checks.select_related("by").order_by("-pk"))


def found_by(check: AirCheck) -> AirFound:
    """What was found that day, from the record: later equations and rules do not change it."""
    return AirFound(
        check.container.refrigerant_id, check.pressure_pa, check.expected_pa, check.u_pa, check.air_pa
    )


def answer_of_check(check: AirCheck) -> Answer:
    return air_answer(found_by(check))
