"""What people type at a scale: taken as it is, or one sentence on what to type instead."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.findings import Finding, Weight
from shop.core.mass import LARGEST, Mass, Reading, Unit, grams, ounces
from shop.core.reading import decimals_of, read_mass, step_of, unit_named

TENTH_OUNCE = ounces("0.1")


def read(text: str, unit: Unit = Unit.G, division: Mass | None = None) -> Reading:
    reading, found = read_mass(text, unit, division=division)
    assert reading is not None, found
    assert found == []
    return reading


def refused(text: str, unit: Unit = Unit.G, division: Mass | None = None) -> Finding:
    reading, found = read_mass(text, unit, division=division, field="before")
    assert reading is None
    (finding,) = found
    assert finding.blocks
    assert finding.field == "before"
    return finding


@pytest.mark.parametrize(
    ("text", "unit", "canonical"),
    [
        ("466", Unit.G, "466"),
        (" 466 ", Unit.G, "466"),
        ("466 g", Unit.G, "466"),
        ("466 grams", Unit.G, "466"),
        ("11.6", Unit.OZ, "11.6"),
        ("11,6", Unit.OZ, "11.6"),
        ("11.60", Unit.OZ, "11.60"),
        ("011.6oz.", Unit.OZ, "11.6"),
        (".5", Unit.LB, "0.5"),
        ("466.", Unit.G, "466"),
        ("0,454 kg", Unit.KG, "0.454"),
        ("1 lb 4.5 oz", Unit.LB_OZ, "1 lb 4.5 oz"),
        ("1lb4,5oz", Unit.LB_OZ, "1 lb 4.5 oz"),
        ("1:04.5", Unit.LB_OZ, "1 lb 4.5 oz"),
        ("1 4.5", Unit.LB_OZ, "1 lb 4.5 oz"),
        ("0:11.6", Unit.LB_OZ, "0 lb 11.6 oz"),
    ],
)
def test_a_reading_is_kept_as_typed_in_one_spelling(text: str, unit: Unit, canonical: str) -> None:
    assert read(text, unit).text == canonical


def test_a_pound_and_four_and_a_half_ounces_is_not_1_point_045() -> None:
    # 20.5 oz x 28.349523125 g = 581.1652240625 g, worked by hand
    assert read("1:04.5", Unit.LB_OZ).mass == Mass(581_165_224)


@pytest.mark.parametrize(
    ("text", "unit", "code", "says"),
    [
        ("", Unit.G, "mass-empty", "Type what the scale shows."),
        ("   ", Unit.G, "mass-empty", "Type what the scale shows."),
        ("full", Unit.G, "mass-not-a-number", "Type the number only, for example 466."),
        ("4 66", Unit.G, "mass-not-a-number", "Type the number only"),
        ("4.6.6", Unit.G, "mass-not-a-number", "Type the number only"),
        ("1e3", Unit.G, "mass-not-a-number", "Type the number only"),
        ("٤٦٦", Unit.G, "mass-not-a-number", "Type the number only"),
        ("9" * 5000, Unit.G, "mass-not-a-number", "too long for a weight"),
        ("1,234", Unit.G, "mass-not-a-number", "Type it without the comma"),
        ("12,345.6 g", Unit.G, "mass-not-a-number", "Type it without the comma"),
        ("-5", Unit.G, "mass-negative", "Zero the empty scale"),
        ("−5", Unit.G, "mass-negative", "Zero the empty scale"),
        ("8 fl oz", Unit.OZ, "mass-fluid-ounce", "a volume"),
        ("8fl.oz", Unit.OZ, "mass-fluid-ounce", "a volume"),
        ("8 ozt", Unit.OZ, "mass-troy-ounce", "Type oz, g, lb or kg."),
        ("8 troy oz", Unit.OZ, "mass-troy-ounce", "Type oz, g, lb or kg."),
        ("3 stone", Unit.LB, "mass-unit", "“stone” is no unit of this book. Use g, kg, oz, lb or lb+oz."),
        ("11.6 oz", Unit.G, "mass-unit", "Type it in g, or choose oz as the unit."),
        ("1 lb 4.5 oz", Unit.OZ, "mass-unit", "Type it in oz, or choose lb+oz"),
        ("501", Unit.KG, "mass-too-large", "Check the number and its unit."),
        ("9999:15", Unit.LB_OZ, "mass-too-large", "Check the number and its unit."),
        ("1.004", Unit.LB_OZ, "mass-needs-lb-oz", "Type pounds and ounces, for example 1 lb 4.5 oz."),
        ("20", Unit.LB_OZ, "mass-needs-lb-oz", "Type pounds and ounces"),
        ("1 lb 16 oz", Unit.LB_OZ, "mass-needs-lb-oz", "below 16"),
    ],
)
def test_what_is_no_weight_is_refused_with_what_to_type_instead(
    text: str, unit: Unit, code: str, says: str
) -> None:
    finding = refused(text, unit)
    assert finding.code == code
    assert says in finding.message


def test_a_unit_that_this_scale_does_not_show_is_named() -> None:
    says = "That is in oz, and this scale shows g. Type what it shows, or pick the other scale."
    assert refused("16.4 oz", Unit.G, grams(1)).message == says


def test_a_decimal_on_a_scale_of_whole_grams_looks_like_ounces() -> None:
    # 16.4 oz = 464.93 g and 16.4 lb = 7438.91 g, worked by hand
    finding = refused("16.4", Unit.G, grams(1))
    assert finding.code == "mass-decimals"
    assert finding.message.startswith("16.4 looks like ounces (= 465 g) or pounds (= 7,439 g).")


@pytest.mark.parametrize(
    ("text", "unit", "division", "says"),
    [
        ("11.65", Unit.OZ, TENTH_OUNCE, "This scale shows one decimal"),
        ("11.655", Unit.OZ, ounces("0.05"), "This scale shows two decimals"),
        ("1 lb 4.55 oz", Unit.LB_OZ, TENTH_OUNCE, "This scale shows one decimal"),
        ("1.5", Unit.LB, Mass.of(1, Unit.LB), "This scale shows no decimals"),
    ],
)
def test_a_scale_cannot_show_more_decimals_than_its_division_has(
    text: str, unit: Unit, division: Mass, says: str
) -> None:
    finding = refused(text, unit, division)
    assert finding.code == "mass-decimals"
    assert says in finding.message


@pytest.mark.parametrize(
    ("text", "unit", "division", "step"),
    [
        ("466", Unit.G, grams(5), "5 g"),
        ("466", Unit.G, grams(10), "10 g"),
        ("11.67", Unit.OZ, ounces("0.05"), "0.05 oz"),
        ("1 lb 4.3 oz", Unit.LB_OZ, ounces("0.5"), "0.5 oz"),
    ],
)
def test_a_reading_between_two_steps_is_kept_and_asked_about(
    text: str, unit: Unit, division: Mass, step: str
) -> None:
    reading, (finding,) = read_mass(text, unit, division=division)
    assert reading is not None
    assert (finding.code, finding.weight) == ("mass-between-divisions", Weight.WARNS)
    assert f"({step})" in finding.message


@pytest.mark.parametrize(
    ("division", "unit", "decimals", "step"),
    [
        (grams(1), Unit.G, 0, "1"),
        (grams(10), Unit.G, 0, "10"),
        (grams("0.1"), Unit.G, 1, "0.1"),
        (TENTH_OUNCE, Unit.OZ, 1, "0.1"),
        (ounces("0.05"), Unit.OZ, 2, "0.05"),
        (ounces("0.25"), Unit.OZ, 2, "0.25"),
        (TENTH_OUNCE, Unit.LB_OZ, 1, "0.1"),
        (grams(1), Unit.KG, 3, "0.001"),
        (Mass.of("0.005", Unit.LB), Unit.LB, 3, "0.005"),
        (Mass.of("0.1", Unit.LB), Unit.LB, 1, "0.1"),
    ],
)
def test_a_display_shows_the_decimals_of_its_division(
    division: Mass, unit: Unit, decimals: int, step: str
) -> None:
    assert decimals_of(division, unit) == decimals
    assert step_of(division, unit) == Decimal(step)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("g", Unit.G),
        ("Grams", Unit.G),
        ("oz.", Unit.OZ),
        ("LBS", Unit.LB),
        ("kg", Unit.KG),
        ("lb+oz", Unit.LB_OZ),
    ],
)
def test_a_unit_goes_by_more_than_one_name(text: str, unit: Unit) -> None:
    assert unit_named(text) == (unit, [])


@pytest.mark.parametrize(
    ("text", "code"),
    [("fl oz", "mass-fluid-ounce"), ("ozt", "mass-troy-ounce"), ("stone", "mass-unit"), ("", "mass-unit")],
)
def test_a_unit_that_the_book_does_not_know_is_refused(text: str, code: str) -> None:
    unit, (finding,) = unit_named(text)
    assert unit is None
    assert (finding.code, finding.field) == (code, "unit")


anything = st.one_of(st.text(), st.from_regex(r"[ 0-9.,:gozlbkft-]{0,45}", fullmatch=True))
divisions = st.one_of(st.none(), st.integers(0, 10**9).map(Mass))


@given(anything, st.sampled_from(Unit), divisions)
def test_nothing_that_can_be_typed_breaks_the_reading(text: str, unit: Unit, division: Mass | None) -> None:
    reading, found = read_mass(text, unit, division=division)
    assert (reading is None) == any(finding.blocks for finding in found)
    if reading is not None:
        assert 0 <= reading.mass.ug <= LARGEST


@given(st.text())
def test_nothing_that_can_be_typed_breaks_the_unit(text: str) -> None:
    unit, found = unit_named(text)
    assert (unit is None) == bool(found)


@given(st.integers(0, 20_000))
def test_ounces_typed_to_a_twentieth_come_back_as_typed(twentieths: int) -> None:
    text = f"{Decimal(twentieths) / 20:.2f}"
    reading = read(text, Unit.OZ, ounces("0.05"))
    assert (reading.text, reading.unit) == (text, Unit.OZ)
    assert str(reading.mass.rounded(Unit.OZ, 2)) == text


@given(st.integers(0, 300), st.integers(0, 319))
def test_pounds_and_ounces_come_back_as_typed(pounds: int, twentieths: int) -> None:
    text = f"{pounds} lb {Decimal(twentieths) / 20:.2f} oz"
    reading = read(text, Unit.LB_OZ, ounces("0.05"))
    assert reading.text == text
    assert reading.mass.rounded(Unit.OZ, 2) == pounds * 16 + Decimal(twentieths) / 20


@given(st.integers(0, 500_000))
def test_grams_and_kilograms_are_the_same_mass(whole: int) -> None:
    assert read(str(whole)).mass == read(f"{Decimal(whole) / 1000:.3f}", Unit.KG).mass
