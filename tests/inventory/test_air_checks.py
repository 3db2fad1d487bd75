"""A recovery cylinder is checked for air: the page, the signed record, and what it says ever after."""

from __future__ import annotations

import pytest
from django.test import Client

from inventory.models import AirCheck, Container
from inventory.queries import air_checks, answer_of_check, in_the_cabinet
from inventory.services import AirCheckIn, check_for_air, mark_mixed
from shop.core.findings import Refused
from shop.services import change_rule
from tests.factories import DAY, NOON, Shop, cylinder_holding
from tests.pages import errors, said, send, text

PAGE = "/containers/RC-09/air/"
READ = {
    "pressure": "90",
    "pressure_unit": "psi",
    "temperature": "75",
    "temperature_unit": "°F",
    "at_rest": "on",
}


@pytest.fixture
def rc09(shop: Shop) -> Container:
    """R-134a, 5 lb in it: liquid enough."""
    cylinder_holding(shop, "RC-09", "5")
    return in_the_cabinet(shop.establishment).get(pk="RC-09")


def test_a_technician_writes_down_what_the_gauge_shows_and_reads_the_answer(
    shop: Shop, rc09: Container, dev: Client
) -> None:
    answer = send(dev, PAGE, **READ)
    page = dev.get(answer["Location"])

    assert said(page) == ["RC-09 is checked for air."]
    assert "Air or mixed refrigerant. None of it goes into a car." in text(page)
    assert "Pure R-134a would show 78.7 psi" in text(page)  # CoolProp 8.0.0: 78.66 psig at 75 °F
    assert "Over that +11.3 psi" in text(page)
    assert "90 psi, 75 °F" in text(page)
    kept = AirCheck.objects.get()
    assert (kept.by, kept.pressure, kept.temperature) == (shop.dev, "90 psi", "75 °F")
    assert kept.equations == "Tarebook properties 1"


def test_the_page_says_how_it_is_done_and_what_air_it_reckons_with(rc09: Container, dev: Client) -> None:
    page = text(dev.get(PAGE))

    assert "At 65 °F or warmer, out of the sun, at rest for hours" in page
    assert "sea level, as the shop rules say" in page
    assert "Do not vent" in page


def test_the_life_of_a_cylinder_leads_the_front_office_to_the_check_it_may_read(
    rc09: Container, dev: Client, lee: Client
) -> None:
    send(dev, PAGE, **READ)
    page = lee.get("/containers/RC-09/").content.decode()

    assert '<a href="#air">The check</a>' in page
    assert '<h2 id="air">' in page
    assert PAGE not in page  # that page is for who does the check


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"at_rest": ""}, "at_rest", "out of the sun"),
        ({"pressure": ""}, "pressure", "Type what the manifold gauge shows"),
        ({"pressure": "ninety"}, "pressure", "Type what the manifold gauge shows"),
        ({"temperature": "64"}, "temperature", "Too cold to judge"),
        ({"temperature": "130"}, "temperature", "must never be over 125"),
        ({"barometer": "80"}, "barometer", "with its unit"),
        ({"barometer": "24.6 inHg"}, "barometer", "does not fit the shop's height"),
    ],
)
def test_what_cannot_be_judged_is_said_beside_its_field_and_nothing_is_kept(
    rc09: Container, dev: Client, changed: dict[str, str], field: str, sentence: str
) -> None:
    found = errors(send(dev, PAGE, **{**READ, **changed}), field)

    assert sentence in " ".join(found)
    assert not AirCheck.objects.exists()


def test_an_empty_cylinder_is_not_checked_for_air(shop: Shop, dev: Client) -> None:
    assert "none of it is liquid" in " ".join(errors(send(dev, "/containers/RC-02/air/", **READ), "pressure"))


def test_a_mixed_cylinder_has_no_pressure_to_be_held_against(
    shop: Shop, rc09: Container, dev: Client
) -> None:
    mark_mixed(rc09, since=NOON, why="a mixed car", at=NOON, by=shop.dev)

    assert dev.get(PAGE).status_code == 404
    assert "Check it for air" not in text(dev.get("/containers/RC-09/"))
    mixed = in_the_cabinet(shop.establishment).get(pk="RC-09")
    with pytest.raises(Refused, match="Nobody knows what is in it"):
        check_for_air(mixed, AirCheckIn("79 psi", "75 °F", at_rest=True), on=DAY, at=NOON, by=shop.dev)


def test_a_check_says_the_same_when_the_shops_rules_have_changed(shop: Shop, rc09: Container) -> None:
    check_for_air(rc09, AirCheckIn("84 psi", "75 °F", at_rest=True), on=DAY, at=NOON, by=shop.dev)
    before = answer_of_check(air_checks(rc09)[0])
    rule = {"key": "altitude_ft", "value": "5000", "basis": "the map"}
    change_rule(shop.establishment, **rule, from_day=DAY, today=DAY, at=NOON, by=shop.marta)

    assert answer_of_check(air_checks(rc09)[0]) == before


def test_a_barometer_counts_before_the_shops_height(shop: Shop, rc09: Container) -> None:
    typed = AirCheckIn("79 psi", "75 °F", "29.00 inHg", at_rest=True)
    kept = check_for_air(rc09, typed, on=DAY, at=NOON, by=shop.dev)

    assert kept.air_pa == round(29 * 3386.389)


def test_the_newest_check_stands_first(shop: Shop, rc09: Container, dev: Client) -> None:
    for psi in ("90 psi", "79 psi"):
        check_for_air(rc09, AirCheckIn(psi, "75 °F", at_rest=True), on=DAY, at=NOON, by=shop.dev)
    page = text(dev.get("/containers/RC-09/"))

    assert "No excess pressure shown." in page
    assert "Air or mixed refrigerant" not in page
    assert page.index("79 psi, 75 °F") < page.index("90 psi, 75 °F")


def test_the_page_of_another_shops_cylinder_is_not_there(rc09: Container, stranger: Client) -> None:
    assert stranger.get(PAGE).status_code == 302
