"""Reading the hand-worked rows of fixtures/: plain CSV that a shop owner can read and extend."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

from shop.core.mass import Mass, Unit
from shop.core.reading import read_mass, unit_named

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of fixtures/NAME by column."""
    with (FIXTURES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def mass_of(text: str) -> Mass:
    """A mass as the fixtures write it, a number (perhaps negative), a blank and a unit: "-27 g", "20.0 oz"."""
    number, _, name = text.strip().partition(" ")
    unit, _ = unit_named(name)
    assert unit in (Unit.G, Unit.OZ, Unit.LB, Unit.KG), f"{text!r} has no unit"
    return Mass.of(Decimal(number), unit)


def shown(text: str, unit: Unit, division: Mass) -> Mass:
    """What a scale with this unit and division showed; fails when it cannot show that."""
    reading, found = read_mass(text, unit, division=division)
    assert reading is not None, found
    assert not found
    return reading.mass
