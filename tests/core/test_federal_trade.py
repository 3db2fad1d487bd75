"""The boundary tables of the federal rules, second part: buying and selling, keeping, vehicles, factors, cylinders."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from compliance.core.co2e import TABLE
from compliance.core.federal import keeping, trade, vehicles
from inventory.core import federal
from inventory.core.cylinder import fill_limit
from inventory.core.refrigerants import FLAMMABLE, REFRIGERANTS
from shop.core.mass import Mass, Unit, grams
from shop.core.vin import check_digit, vin_problems

# --- G. Buying and selling: 40 CFR 82.154(c), 82.34(b)


@pytest.mark.parametrize(
    ("net", "small"),
    [
        (grams("907.18474"), True),
        (Mass.of(2, Unit.LB), True),
        (Mass.of(32, Unit.OZ), True),
        (grams("907.184741"), False),
        (Mass.of("32.1", Unit.OZ), False),
    ],
)
def test_a_small_can_holds_two_pounds_or_less(net: Mass, small: bool) -> None:
    assert federal.is_small_can(net) is small


@pytest.mark.parametrize(
    ("made", "valve", "suffices"),
    [
        (date(2017, 12, 31), False, True),
        (date(2018, 1, 1), False, False),
        (date(2018, 1, 1), True, True),
    ],
)
def test_a_can_made_since_2018_closes_itself(made: date, valve: bool, suffices: bool) -> None:
    assert federal.valve_suffices(made, self_sealing=valve) is suffices


@pytest.mark.parametrize(("loss", "holds"), [(3.00, True), (3.01, False)])
def test_a_closed_valve_loses_three_grams_a_year_at_most(loss: float, holds: bool) -> None:
    assert federal.valve_holds(loss) is holds


@pytest.mark.parametrize(
    ("refrigerant", "net", "has_609", "has_608", "may"),
    [
        ("R-134a", grams(340), False, False, True),  # a small can: anybody
        ("R-134a", grams(13600), True, False, True),  # by the office, with a technician's card on file
        ("R-134a", grams(13600), False, False, False),
        ("R-134a", grams("907.18474"), False, False, True),
        ("R-134a", grams("907.18475"), False, False, False),
        ("R-410A", grams(11300), True, False, False),
        ("R-410A", grams(11300), False, True, True),
    ],
)
def test_who_may_buy_what(refrigerant: str, net: Mass, has_609: bool, has_608: bool, may: bool) -> None:
    assert trade.may_buy(refrigerant, net, has_609=has_609, has_608=has_608) is may


@pytest.mark.parametrize(
    ("ozone_class", "net", "asks"),
    [
        ("I", Mass.of("19.99", Unit.LB), True),
        ("II", grams("9071.8473"), True),
        ("I", Mass.of("20.00", Unit.LB), False),
        ("", Mass.of(2, Unit.LB), False),  # R-134a: no sign either, 82.42(c)
    ],
)
def test_the_limit_of_twenty_pounds_is_for_class_i_and_ii_alone(
    ozone_class: str, net: Mass, asks: bool
) -> None:
    assert trade.sale_asks_for_a_card(ozone_class, net) is asks


@pytest.mark.parametrize(("net", "asks"), [(grams("907.18474"), False), (grams("907.18475"), True)])
def test_sellers_of_small_cans_keep_no_invoice_under_federal_law(net: Mass, asks: bool) -> None:
    assert trade.sale_asks_for_an_invoice(net) is asks  # 82.154(c)(3)(i)


# --- H. Keeping and scrapping: 40 CFR 82.42(b)(4), 82.156(d)


@pytest.mark.parametrize(
    ("anchor", "today", "may"),
    [
        (date(2023, 11, 25), date(2026, 11, 25), False),
        (date(2023, 11, 25), date(2026, 11, 26), True),
        (date(2024, 2, 29), date(2027, 2, 28), False),
        (date(2024, 2, 29), date(2027, 3, 1), True),
    ],
)
def test_a_record_is_kept_to_the_end_of_its_third_year(anchor: date, today: date, may: bool) -> None:
    assert keeping.may_be_purged(anchor, today) is may


@pytest.mark.parametrize(
    ("depth", "unit", "deep"),
    [("102", "mmHg", True), ("101", "mmHg", False), ("4.0", "inHg", True), ("3.9", "inHg", False)],
)
def test_the_depth_for_a_scrapped_car_is_held_against_the_unit_typed(
    depth: str, unit: str, deep: bool
) -> None:
    assert keeping.emptied_for_scrap(Decimal(depth), unit) is deep


# --- I. Vehicles: 40 CFR 82 Subpart G App. B, read in part; 49 CFR 565


@pytest.mark.parametrize(
    ("refrigerant", "year", "light", "look"),
    [
        ("R-134a", 2020, True, False),
        ("R-134a", 2021, True, True),
        ("R-134a", 2021, False, False),
        ("R-1234yf", 2021, True, False),
        ("R-134a", None, True, False),
    ],
)
def test_r134a_in_a_light_vehicle_of_2021_asks_for_a_look_at_the_label(
    refrigerant: str, year: int | None, light: bool, look: bool
) -> None:
    assert vehicles.look_at_the_label(refrigerant, year, light=light) is look


@pytest.mark.parametrize(
    ("vin", "year"),
    [
        ("1M8GDM9AXKP042788", 1989),  # K, position 7 a digit
        ("1M8GDMAAXKP042788", 2019),  # K, position 7 a letter
        ("1FAPP64RXVH123456", 1997),
        ("1FAPP6ARXVH123456", 2027),  # V; one list says 1, which is 2031
        ("1FAPP6ARX1H123456", 2031),
        ("1FAPP6ARXAH123456", 2010),
        ("1FAPP64RX9H123456", 2009),
        ("00000000000000000", None),  # 0 is no year
        ("1FAPP6ARXUH123456", None),
        ("1FAPP6ARXZH123456", None),
        ("SHORT", None),
    ],
)
def test_position_ten_tells_the_year_and_position_seven_the_cycle(vin: str, year: int | None) -> None:
    assert vehicles.model_year(vin) == year


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        ("1M8GDM9AXKP042788", "X"),
        ("1G4AH59H45G118341", "4"),
        ("JH2RC3605MM101581", "5"),
        ("LJCPCBLCX11000237", "X"),
        ("1FAPP64R7LH123456", "7"),
        ("5GZCZ43D13S812715", "1"),
        ("1M8GMD9AXKP042788", "X"),  # D and M weigh the same: a slip it cannot see
        ("1M8GDM9AXBP042788", "X"),  # so do K and B
    ],
)
def test_the_check_digit_of_565_15(vin: str, digit: str) -> None:
    assert check_digit(vin) == digit == vin[8]
    assert vin_problems(vin) == []


@pytest.mark.parametrize(("vin", "should"), [("1M8GDM9AXKP042787", "8"), ("1HGCM82633A004325", "0")])
def test_a_wrong_check_digit_warns_and_never_blocks(vin: str, should: str) -> None:
    (found,) = vin_problems(vin)
    assert check_digit(vin) == should
    assert (found.code, found.blocks) == ("vin-check-digit", False)


def test_no_other_flammable_refrigerant_is_on_the_list() -> None:
    assert {"R-1234yf", "R-152a"} == FLAMMABLE  # subpart G: all others are unacceptable in cars
    assert {one.code for one in REFRIGERANTS} == {"R-134a", "R-1234yf", "R-152a", "unknown"}


# --- J. AIM Act: 42 USC 7675(c)(1)


@pytest.mark.parametrize(
    ("refrigerant", "mass_g", "kg"),
    [
        ("R-134a", "340.1942775", "486.478"),
        ("R-152a", "340.1942775", "42.184"),
        ("R-134a", "907.18474", "1297.274"),
    ],
)
def test_exchange_values_of_the_statute(refrigerant: str, mass_g: str, kg: str) -> None:
    factor = TABLE["aim"].factor(refrigerant)
    assert factor is not None
    assert round(Decimal(mass_g) / 1000 * factor, 3) == Decimal(kg)


def test_r1234yf_is_no_regulated_hfc_and_has_no_exchange_value() -> None:
    assert TABLE["aim"].factor("R-1234yf") is None


# --- K. Cylinders: 49 CFR 173.304, 180.209; 40 CFR 82 Subpart B App. C 7.2, 7.3.3


@pytest.mark.parametrize(
    ("refrigerant", "federal_limit_g"), [("R-134a", 21_111), ("R-1234yf", 19_113), ("R-152a", 15_716)]
)
def test_our_fill_limit_is_never_above_eighty_percent_liquid_at_21_degrees(
    refrigerant: str, federal_limit_g: int
) -> None:
    # A tank of 21.6 L; 0.80 x 21.6 L x 1221.7, 1106.1 and 909.5 g/L (CoolProp 8.0 at 21 C).
    water = grams(21_600)
    ours = fill_limit(water, Decimal(80), refrigerant).most
    assert grams(federal_limit_g * 8 // 10) < ours <= grams(federal_limit_g)


@pytest.mark.parametrize(
    ("stamp", "day", "asme", "may"),
    [
        (date(2021, 6, 1), date(2026, 6, 30), False, True),
        (date(2021, 6, 1), date(2026, 7, 1), False, False),
        (date(2021, 6, 30), date(2026, 6, 30), False, True),
        (date(2020, 2, 1), date(2025, 2, 28), False, True),
        (date(2020, 2, 1), date(2025, 3, 1), False, False),
        (date(2021, 6, 1), date(2036, 7, 1), True, True),
    ],
)
def test_a_cylinder_is_filled_for_five_years_after_its_stamp(
    stamp: date, day: date, asme: bool, may: bool
) -> None:
    assert federal.may_fill(stamp, day, asme=asme) is may


# --- Section 5: numbers


@pytest.mark.parametrize(
    ("unit", "amount", "exact"),
    [
        (Unit.OZ, "1", "28.349523125"),
        (Unit.LB, "1", "453.59237"),
        (Unit.LB, "20", "9071.8474"),
        (Unit.OZ, "12", "340.1942775"),
    ],
)
def test_pounds_and_ounces_are_exact_to_the_microgram(unit: Unit, amount: str, exact: str) -> None:
    assert Mass.of(amount, unit) == grams(
        Decimal(exact).quantize(Decimal("0.000001"))
    )  # NIST SP 811, App. B.8
