"""Figures from outside about leak rates and moist air (fixtures/check_values_visits.csv), computed by our own code.

Rows that are context and not a test are left out of the fixture: what older equipment left behind (18 %) and what
present equipment is asked for (95 %) stand as constants in compliance.core.leak_rate; the bands of a published
performance table are typed in test_makers_table.py.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from compliance.core import leak_rate as rates
from compliance.core.final_readings import Typed, readings, work_out
from compliance.core.leak_rate import Filled, Found, LeakRate, Recovering, SinceLast, leak_rate
from compliance.core.stages import Compressor
from inventory.core.properties import FLUIDS
from shop.core.air import MoistAir, moist_enthalpy, ratio_of_wet_bulb, relative_humidity
from shop.core.conditions import conditions
from shop.core.gauge import celsius, in_celsius
from shop.core.house import HouseRules
from shop.core.mass import Mass, grams
from tests.core.rows import rows_of

Answer = float | tuple[float, float]
ROWS = {row["id"]: row for row in rows_of("check_values_visits.csv")}
HERE = conditions(HouseRules())


def rate(filled: Mass, recovered: Mass, days: int, part: Recovering, u: float = 2.7) -> LeakRate:
    label = grams(567)
    since = SinceLast(
        Filled("J", filled, u, "R-134a", label), Found(recovered, 3.0, "R-134a", label), days, part
    )
    one = leak_rate(since)
    assert isinstance(one, LeakRate)
    return one


def example() -> LeakRate:
    return rate(grams(567), grams(510), 400, Recovering(0.97, 0.015, ""))


def a_year(one: LeakRate) -> float:
    assert one.per_year is not None
    return one.per_year


def limits(capacity: int, evaporators: int = 1) -> LeakRate:
    label = grams(capacity)
    filled, found = Filled("J", label, 1.0, "R-134a", label), Found(label, 1.0, "R-134a", label)
    one = leak_rate(SinceLast(filled, found, 400, Recovering(1.0, 0.01, ""), evaporators=evaporators))
    assert isinstance(one, LeakRate)
    return one


def left_behind() -> float:
    """567 g with 18 % left in the system, read as if everything had come out: what seems lost in a year."""
    out = Mass(round(567e6 * (1 - rates.LEFT_AT_21)))
    one = rate(grams(567), out, 365, Recovering(1.0, 0.0, ""))
    return one.loss


def wet(dry: float, bulb: float) -> MoistAir:
    ratio = ratio_of_wet_bulb(celsius(dry), celsius(bulb))
    return MoistAir(celsius(dry), relative_humidity(ratio, celsius(dry)))


def approaches(outdoor: str, low: str, high: str) -> tuple[float, float]:
    """Condensing above outdoor air at both ends of a published band of the high side, R-134a at sea level."""
    ends = []
    for pressure in (low, high):
        read = readings(Typed(outdoor=outdoor, high_side=pressure), HERE)
        worked = work_out(read, FLUIDS["R-134a"], HERE)
        assert worked.approach is not None
        ends.append(worked.approach)
    return ends[0], ends[1]


COMPUTED: dict[str, Callable[[], Answer]] = {
    "A-01": lambda: limits(733).normal,
    "A-03": lambda: rates.RATED_AT_LEAST[Compressor.BELT],
    "A-04": lambda: rates.RATED_AT_LEAST[Compressor.ELECTRIC],
    "A-05": lambda: limits(567, evaporators=2).bad,
    "A-06": lambda: limits(567).bad,
    "A-11": lambda: a_year(example()),
    "A-12": lambda: example().u_per_year,
    "A-13": lambda: example().chance(11),
    "A-14": lambda: example().chance(40),
    "A-15": left_behind,
    "P-01": lambda: MoistAir(celsius(5), 1).ratio,
    "P-02": lambda: MoistAir(celsius(5), 1).enthalpy,
    "P-03": lambda: MoistAir(celsius(25), 1).ratio,
    "P-05": lambda: MoistAir(celsius(50), 1).ratio,
    "P-06": lambda: MoistAir(celsius(50), 1).enthalpy,
    "P-07": lambda: wet(40, 20).ratio,
    "P-08": lambda: wet(40, 20).humidity,
    "P-09": lambda: wet(40, 20).enthalpy,
    "P-10": lambda: wet(40, 20).volume,
    "P-11": lambda: moist_enthalpy(celsius(30), 0.02),
    "P-12": lambda: in_celsius(MoistAir(celsius(30), 0.55).wet_bulb),
    "P-28": lambda: approaches("25 °C", "1204 kPa", "1471 kPa"),
    "P-29": lambda: approaches("30 °C", "1300 kPa", "1590 kPa"),
    "P-31": lambda: approaches("40 °C", "1870 kPa", "2285 kPa"),
}


def test_every_row_of_the_fixture_is_computed_and_nothing_else() -> None:
    assert sorted(COMPUTED) == sorted(ROWS)


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_figure_from_outside_comes_out_of_our_code(row: dict[str, str]) -> None:
    answer, tolerance = COMPUTED[row["id"]](), row["tolerance"]
    answers = answer if isinstance(answer, tuple) else (answer,)
    expected = [float(one) for one in row["expected"].split("..")]
    for ours, theirs in zip(answers, expected, strict=True):
        if tolerance == "exact":
            assert ours == theirs
        else:
            allowed = float(tolerance.rstrip("%")) * (theirs / 100 if tolerance.endswith("%") else 1)
            assert abs(ours - theirs) <= allowed
