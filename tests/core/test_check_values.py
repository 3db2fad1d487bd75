"""Figures from outside (fixtures/check_values.csv, each with its source): every row is computed here by our own code.

Rows about pressures check definitions only; they need the pound and the inch.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from decimal import Decimal

import pytest

from compliance.core.charge import cans_needed, leak_test_mass, stop_at
from inventory.core.difference import cusum, period_u
from inventory.core.weighing import u_difference
from shop.core.decision import combined, conformity, largest_u, u_rectangular, u_resolution
from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit, grams, ounces, total
from shop.core.reading import read_mass
from shop.core.vin import VALUES, check_digit, vin_problems
from tests.core.rows import rows_of
from tests.core.run_lengths import average_run_length

Answer = Decimal | float | int | str
ROWS = {row["id"]: row for row in rows_of("check_values.csv")}
GRAM_IN_OUNCES = Decimal(1) / Mass.of(1, Unit.OZ).to(Unit.G)
INCH = 0.0254  # metre, exact
GRAVITY = 9.80665  # m/s2, standard
OBSERVED = [float(x) for x in ROWS["B-01"]["inputs"].rpartition("=")[2].split()]
FOUND = -77.516  # B-20, counted less expected


def exact(number: str, unit: Unit) -> Decimal:
    """Grams of so much of a unit, before any rounding."""
    return Decimal(number) * MICROGRAMS[unit] / MICROGRAMS[Unit.G]


def on_display(text: str, unit: Unit) -> Reading:
    reading, found = read_mass(text, unit)
    assert reading is not None, found
    return reading


def stop(start: str, wanted: Mass, unit: Unit, division: Mass) -> Decimal:
    reading = stop_at(on_display(start, unit), wanted, division)
    assert reading is not None
    return Decimal(reading.text)


def u_of_cans(cans: int, division: Mass) -> float:
    return combined(*[u_resolution(division.grams)] * (2 * cans))


def drawn() -> Mass:
    pairs = (("11.6", "3.6"), ("11.7", "3.7"), ("11.5", "7.4"))
    return total(ounces(before) - ounces(after) for before, after in pairs)


def mercury_kilopascal(density: float) -> float:
    return INCH * density * GRAVITY / 1000


def found_less_expected() -> Decimal:
    opening, received, drawn_out, heels, physical = (
        grams(one) for one in ("1455.77711", "5443.10844", "4905.0", "71.0", "1845.36948")
    )
    return (physical - (opening + received - drawn_out - heels)).to(Unit.G)


def material_balance() -> str:
    """MUF = PB + X - Y - PE is our difference with the sign turned: what is missing counts as positive there."""
    beginning, added, removed, ending = (
        Decimal(one) for one in ("1455.77711", "5443.10844", "4976.0", "1845.36948")
    )
    return "identity" if beginning + added - removed - ending == -found_less_expected() else "different"


def errors_caught() -> float:
    """Share of single wrong characters, anywhere but in the check digit itself, that change the check digit."""
    pick, letters = random.Random(565), sorted(VALUES)
    caught = tried = 0
    for _ in range(200):
        vin = [pick.choice(letters) for _ in range(17)]
        right = check_digit("".join(vin))
        for place in (*range(8), *range(9, 17)):
            for letter in letters:
                if letter != vin[place]:
                    wrong = "".join([*vin[:place], letter, *vin[place + 1 :]])
                    tried += 1
                    caught += check_digit(wrong) != right
    return caught / tried


def cusum_after(number: int, side: str) -> float:
    point = cusum(OBSERVED, target=99, k=1, h=10)[number - 1]
    return point.upper if side == "upper" else point.lower


COMPUTED: dict[str, Callable[[], Answer]] = {
    "U-01": lambda: exact("1", Unit.OZ),
    "U-03": lambda: exact("0.05", Unit.OZ),
    "U-04": lambda: exact("4", Unit.OZ),
    "U-05": lambda: exact("8", Unit.OZ),
    "U-07": lambda: exact("12", Unit.OZ),
    "U-08": lambda: exact("20", Unit.OZ),
    "U-09": lambda: exact("24", Unit.OZ),
    "U-11": lambda: exact("2", Unit.LB),
    "U-12": lambda: exact("30", Unit.LB),
    "U-13": lambda: exact("1", Unit.OZ),
    "U-14": lambda: MICROGRAMS[Unit.LB] / MICROGRAMS[Unit.KG],
    "U-15": lambda: 480 * exact("1", Unit.LB) / 7000,  # a troy ounce is 480 grains, a pound 7000
    "U-16": lambda: Decimal(231) * Decimal("2.54") ** 3 / 128,  # a US gallon is 231 cubic inches, 128 fl oz
    "U-17": lambda: ounces("8").ug,
    "U-18": lambda: ounces("0.1").ug,
    "U-20": lambda: ounces("20.0").ug,
    "U-22": lambda: 4 * GRAM_IN_OUNCES,
    "U-23": lambda: 7 * GRAM_IN_OUNCES,
    "U-24": lambda: 14 * GRAM_IN_OUNCES,
    "U-25": lambda: float(exact("1", Unit.LB)) / 1000 * GRAVITY / INCH**2 / 1000,
    "U-26": lambda: mercury_kilopascal(13595.1),  # kg/m3 of mercury at 32 F, by convention
    "U-27": lambda: mercury_kilopascal(13556.8),  # at 60 F
    "C-15": lambda: leak_test_mass(ounces("20.0"), Decimal("0.15")).rounded(Unit.OZ, 2),
    "C-16": lambda: leak_test_mass(ounces("20.0"), Decimal("0.15")).to(Unit.G),
    "C-17": lambda: stop("11.6", ounces("3.00"), Unit.OZ, ounces("0.1")),
    "C-18": lambda: stop("329", grams("85.048569"), Unit.G, grams(1)),
    "C-19": lambda: cans_needed(ounces(24), net=ounces(8), heel=ounces("0.15"), losses=ounces("0.1")),
    "C-20": lambda: cans_needed(ounces(24), net=ounces(8), heel=ZERO, losses=ZERO),
    "C-22": lambda: drawn().rounded(Unit.OZ, 6).normalize(),
    "C-23": lambda: drawn().to(Unit.G),
    "G-03": lambda: u_rectangular(4),  # 96..104 is 100 give or take 4
    "G-04": lambda: u_difference(grams(4)),  # a difference of two readings is triangular on plus or minus d
    "G-05": lambda: u_of_cans(1, ounces("0.1")),
    "G-06": lambda: u_of_cans(2, ounces("0.1")),
    "G-07": lambda: u_of_cans(3, ounces("0.1")),
    "G-08": lambda: u_of_cans(4, ounces("0.1")),
    "G-09": lambda: u_of_cans(3, grams(5)),
    "G-10": lambda: u_of_cans(3, grams(1)),
    "G-11": lambda: u_of_cans(3, ounces("0.5")),
    "G-13": lambda: combined(2.005, 1.225, 1.134, 0.433, 0.577),
    "G-14": lambda: conformity(13.6, 1.8, -12.5, 16.3),
    "G-15": lambda: 1 - conformity(-2, 1, math.inf, 0),
    "G-16": lambda: conformity(10, 2.005, 15, 15),
    "G-17": lambda: conformity(14, 2.005, 15, 15),
    "G-19": lambda: conformity(10, 2.707, 15, 15),
    "G-20": lambda: largest_u(15),
    "B-01": lambda: cusum_after(1, "upper"),
    "B-02": lambda: cusum_after(1, "lower"),
    "B-03": lambda: cusum_after(2, "upper"),
    "B-04": lambda: cusum_after(2, "lower"),
    "B-06": lambda: cusum_after(3, "lower"),
    "B-08": lambda: cusum_after(6, "lower"),
    "B-09": lambda: cusum_after(16, "upper"),
    "B-10": lambda: cusum_after(16, "lower"),
    "B-11": lambda: cusum_after(18, "upper"),
    "B-13": lambda: cusum_after(20, "upper"),
    "B-14": lambda: cusum_after(20, "lower"),
    "B-17": lambda: average_run_length(0),
    "B-18": lambda: average_run_length(1),
    "B-19": lambda: average_run_length(2),
    "B-20": found_less_expected,
    "B-21": lambda: period_u(
        cans_opened=22,
        draws=22,
        division_g=ounces("0.1").grams,
        part_cans=5,
        gain_half_width=0.003,
        gain_base_g=4905.0,
    ),
    "B-22": lambda: FOUND / 13.892,
    "B-23": material_balance,
    "N-02": lambda: check_digit("1J9RP1A3?A1644345"),
    "N-03": lambda: check_digit("JH2RC360?MM101581"),
    "N-04": lambda: check_digit("1FAPP64R?LH123456"),
    "N-05": lambda: check_digit("1" * 17),
    "N-06": lambda: check_digit("1M8GDM9A?KP042788"),
    "N-07": lambda: str(not vin_problems("1M8GDM9AXKP042789")).lower(),
    "N-08": errors_caught,
}


def test_every_row_of_the_fixture_is_computed_and_nothing_else() -> None:
    assert sorted(COMPUTED) == sorted(ROWS)


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_figure_from_outside_comes_out_of_our_code(row: dict[str, str]) -> None:
    answer, expected, tolerance = COMPUTED[row["id"]](), row["expected"], row["tolerance"]
    if isinstance(answer, str):
        assert answer == expected
    elif tolerance == "exact":
        assert answer == Decimal(expected)
    else:
        allowed = float(tolerance.rstrip("%")) * (float(expected) / 100 if tolerance.endswith("%") else 1)
        assert abs(float(answer) - float(expected)) <= allowed
