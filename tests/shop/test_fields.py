"""Form fields that more than one app asks for."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django import forms
from django.core.exceptions import ValidationError

from shop.core.mass import Mass, Reading, Unit, grams, ounces
from shop.forms import DayField, DollarField, MassField, ReadingField, WholeField, reading_on
from shop.models import Equipment


def refusal(field: forms.Field, value: Any) -> str:
    with pytest.raises(ValidationError) as error:
        field.clean(value)
    return " ".join(error.value.messages)


# --- A mass with its unit


@pytest.mark.parametrize(
    ("typed", "unit", "mass"),
    [
        ("340", "g", grams(340)),
        (" 11,6 ", "oz", ounces("11.6")),
        ("12 oz", "oz", ounces(12)),
        ("0", "g", Mass(0)),
    ],
)
def test_a_mass_is_read_in_the_unit_beside_it(typed: str, unit: str, mass: Mass) -> None:
    reading = MassField().clean([typed, unit])

    assert reading is not None
    assert (reading.mass, reading.unit) == (mass, Unit(unit))


@pytest.mark.parametrize(
    "typed",
    ["", "  ", "twelve", "-12", "12 fl oz", "12 troy oz", "1,234,567", "9" * 39, "0x1f", "1e3", "NaN", "∞"],
)
def test_what_is_no_mass_is_refused_with_a_sentence(typed: str) -> None:
    assert refusal(MassField(), [typed, "g"]).endswith((".", "?"))


def test_another_unit_than_the_one_beside_it_is_refused() -> None:
    assert refusal(MassField(), ["12 g", "oz"])
    assert refusal(MassField(), ["12", "stone"])
    assert refusal(MassField(), ["12", ""])


def test_a_mass_left_out_is_none_where_it_may_be() -> None:
    field = MassField(required=False)

    assert field.clean(["", "g"]) is None
    assert field.clean(None) is None
    assert field.clean([None, None]) is None


def test_a_number_and_its_unit_have_their_own_names_on_the_page() -> None:
    class Form(forms.Form):
        net = MassField(label="Net")

    form = Form({"net": "12", "net_unit": "oz"})
    page = str(form["net"])

    assert form.is_valid()
    assert 'name="net"' in page
    assert 'name="net_unit"' in page
    assert 'inputmode="decimal"' in page
    assert 'type="number"' not in page
    assert form["net"].id_for_label == "id_net_0"
    assert form.cleaned_data["net"] == Reading("12", Unit.OZ, ounces(12))


# --- A reading on a scale


class ReadingForm(forms.Form):
    shown = ReadingField()


def scale(unit: Unit, division: str) -> Equipment:
    one = Unit.OZ if unit is Unit.LB_OZ else unit
    return Equipment(code="SC-1", unit=unit, division_text=division, division=Mass.of(division, one))


@pytest.mark.parametrize(
    ("unit", "division", "typed", "mass"),
    [
        (Unit.G, "1", "466", grams(466)),
        (Unit.OZ, "0.1", "16.4", ounces("16.4")),
        (Unit.LB_OZ, "0.1", "1 lb 0.4 oz", ounces("16.4")),
        (Unit.LB_OZ, "0.1", "1:00.4", ounces("16.4")),
    ],
)
def test_a_reading_is_taken_in_the_unit_of_its_scale(
    unit: Unit, division: str, typed: str, mass: Mass
) -> None:
    form = ReadingForm({"shown": typed})
    assert form.is_valid()
    reading = reading_on(scale(unit, division), form, "shown")

    assert reading is not None
    assert reading.mass == mass
    assert form.errors == {}


@pytest.mark.parametrize(
    ("unit", "division", "typed"),
    [(Unit.G, "1", "466.3"), (Unit.LB_OZ, "0.1", "1.004"), (Unit.OZ, "0.1", "466 g")],
)
def test_a_reading_that_the_scale_cannot_show_is_refused_on_its_field(
    unit: Unit, division: str, typed: str
) -> None:
    form = ReadingForm({"shown": typed})
    assert form.is_valid()

    assert reading_on(scale(unit, division), form, "shown") is None
    assert list(form.errors) == ["shown"]


def test_a_reading_between_two_divisions_is_let_through() -> None:
    """Some scales round in odd ways; the core warns, and a warning does not stop the form."""
    form = ReadingForm({"shown": "467"})
    assert form.is_valid()

    assert reading_on(scale(Unit.G, "2"), form, "shown") is not None


# --- Dollars


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("642.18", 64218),
        ("$642.18", 64218),
        ("1,642.18", 164218),
        ("642", 64200),
        ("0.5", 50),
        ("0", 0),
        ("$ 5", 500),
    ],
)
def test_dollars_become_whole_cents(typed: str, cents: int) -> None:
    assert DollarField().clean(typed) == cents


@pytest.mark.parametrize(
    "typed", ["", "-5", "5.123", "1,64.18", "64218c", "six", "1e3", "٣", "100000.01", "9" * 20, "5..0", "."]
)
def test_what_is_no_price_is_refused(typed: str) -> None:
    assert refusal(DollarField(), typed)


def test_a_price_left_out_is_none_where_it_may_be() -> None:
    assert DollarField(required=False).clean("") is None


# --- Days and whole numbers


@pytest.mark.parametrize("typed", ["2026-04-02", "4/2/2026", "04/02/2026"])
def test_a_day_is_picked_or_typed(typed: str) -> None:
    assert DayField().clean(typed) == date(2026, 4, 2)


@pytest.mark.parametrize(
    "typed", ["", "2026-02-30", "26-04-02", "0026-04-02", "April 2", "2026-13-01", "2026"]
)
def test_what_is_no_day_is_refused(typed: str) -> None:
    assert refusal(DayField(), typed)


@pytest.mark.parametrize(("typed", "number"), [("12", 12), (" 12 ", 12), ("12.0", 12), ("0", 0)])
def test_a_whole_number_is_taken(typed: str, number: int) -> None:
    assert WholeField().clean(typed) == number


@pytest.mark.parametrize("typed", ["", "-1", "1.5", "10000", "a dozen", "1e99", "NaN", "Infinity", "9" * 12])
def test_what_is_no_whole_number_is_refused(typed: str) -> None:
    assert refusal(WholeField(), typed)
