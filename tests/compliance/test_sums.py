"""Sums without a job: cylinder, CO2e and the saturation chart, each a page filled in by its address."""

from __future__ import annotations

import pytest
from django.test import Client

from shop.services import change_rule
from tests.factories import DAY, NOON, Shop
from tests.pages import errors, text

pytestmark = pytest.mark.one_engine

CYLINDER = {"refrigerant": "R-152a", "water": "26.2", "water_unit": "lb"}
AIR = {"pressure": "90", "pressure_unit": "psi", "temperature": "75", "temperature_unit": "°F"}


def test_the_limit_of_a_cylinder_without_a_container(dev: Client) -> None:
    page = text(dev.get("/sums/cylinder/", CYLINDER))

    assert (
        "At most 8,560 g (18.9 lb) of R-152a in it: liquid fills 80 percent of it at 77 °F (25 °C)." in page
    )
    assert "can burst" in page


def test_with_its_weight_the_room_left(dev: Client) -> None:
    weighed = {"tare": "17.1", "tare_unit": "lb", "gross": "27.1", "gross_unit": "lb"}
    page = text(dev.get("/sums/cylinder/", {**CYLINDER, "refrigerant": "R-134a", **weighed}))

    # 10 lb in it, 4,536 g; 9,507 less that and less 29.9 g of doubt is 4,941.6 g
    assert "It holds 4,536 g (10.0 lb); room left 4,94" in page


def test_the_check_for_air_by_itself(dev: Client) -> None:
    page = text(dev.get("/sums/cylinder/", {"refrigerant": "R-134a", **AIR}))

    assert "Air or mixed refrigerant. None of it goes into a car." in page
    assert "At most" not in page


def test_both_at_once_and_the_gravest_leads(dev: Client) -> None:
    answer = dev.get("/sums/cylinder/", {**CYLINDER, **AIR}).context["answer"]

    assert answer.headline.startswith("Air or mixed refrigerant")
    assert any(sentence.startswith("At most 8,560 g") for sentence in answer.says)


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"refrigerant": "R-134a"}, "water", "Type the water capacity, or what the gauge shows"),
        ({**CYLINDER, "water": "0"}, "water", "more than zero"),
        ({**CYLINDER, "gross": "19", "gross_unit": "lb"}, "tare", "Type the tare too"),
        (
            {**CYLINDER, "gross": "9", "tare": "17.1", "gross_unit": "lb", "tare_unit": "lb"},
            "gross",
            "less than its",
        ),
        ({"refrigerant": "R-134a", "pressure": "90", "pressure_unit": "psi"}, "temperature", "Type both"),
        (
            {"refrigerant": "R-134a", "temperature": "75", "water": "5", "water_unit": "lb"},
            "pressure",
            "Type both",
        ),
        ({"refrigerant": "unknown", **AIR}, "refrigerant", "Nobody knows what is in it"),
        ({"refrigerant": "R-134a", **AIR, "temperature": "60"}, "temperature", "Too cold"),
        ({"refrigerant": "R-134a", **AIR, "barometer": "x"}, "barometer", "with its unit"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(
    dev: Client, typed: dict[str, str], field: str, sentence: str
) -> None:
    page = dev.get("/sums/cylinder/", typed)

    assert sentence in " ".join(errors(page, field))
    assert page.context["answer"] is None


def test_co2e_names_its_table(dev: Client) -> None:
    asked = {"refrigerant": "R-134a", "mass": "8", "mass_unit": "oz", "table": "aim"}
    page = text(dev.get("/sums/co2e/", asked))

    assert "324 kg CO2e for 226.8 g of R-134a." in page
    assert "AIM Act exchange values, 42 U.S.C. 7675(c)(1)" in page
    none = text(dev.get("/sums/co2e/", {**asked, "refrigerant": "R-1234yf"}))
    assert "R-1234yf is no HFC and no regulated substance of that law" in none


# --- The chart


def test_the_chart_stands_at_the_shops_own_height(shop: Shop, dev: Client) -> None:
    assert "70 74.0 71.1 62.3" in text(dev.get("/sums/chart/"))
    rule = {"key": "altitude_ft", "value": "5000", "basis": "the map"}
    change_rule(shop.establishment, **rule, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    page = text(dev.get("/sums/chart/"))

    assert "70 76.4 73.6 64.7" in page
    assert "For 5,000 ft, standard air." in page


def test_the_chart_of_another_height_and_its_sheet(dev: Client) -> None:
    page = dev.get("/sums/chart/", {"altitude": "7000"})
    sheet = dev.get("/sums/chart/pdf/", {"altitude": "7000"})

    assert "For 7,000 ft, standard air." in text(page)
    assert "/sums/chart/pdf/?altitude=7000" in page.content.decode()
    assert sheet["Content-Type"] == "application/pdf"
    assert sheet.content.startswith(b"%PDF-1.4")
    assert sheet.content != dev.get("/sums/chart/pdf/").content


@pytest.mark.parametrize("typed", ["99999", "high", "-1401", "5e3x"])
def test_a_height_where_no_shop_is_is_said_and_not_drawn(dev: Client, typed: str) -> None:
    page = dev.get("/sums/chart/pdf/", {"altitude": typed}, follow=True)

    assert page.redirect_chain
    assert errors(page, "altitude")
    assert "sea level, as the shop rules say" in text(page)


def test_the_chart_is_listed_among_the_sums(dev: Client) -> None:
    page = dev.get("/sums/").content.decode()

    assert 'href="/sums/chart/"' in page
    assert 'href="/sums/cylinder/"' in page
    assert 'href="/sums/co2e/"' in page
