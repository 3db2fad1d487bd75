"""Equipment: nameplates, checks, retirement."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from shop.core.findings import Refused
from shop.core.mass import Mass, Unit
from shop.models import Check, Equipment, Retirement
from shop.queries import in_service
from shop.services import CheckIn, EquipmentIn, add_equipment, log_check, retire_equipment
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, reading
from tests.pages import errors, said, send, text

SCALE = {
    "code": "sc-2",
    "kind": "scale",
    "in_service_on": "2024-03-01",
    "division": "0.1",
    "division_unit": "oz",
    "does": "-",
}
MACHINE = {
    "code": "RE-3",
    "kind": "machine",
    "in_service_on": "2024-03-01",
    "division": "",
    "division_unit": "g",
    "does": "recover only",
    "refrigerants": "R-134a,R-1234yf",
}
SC1, SC1_CHECK = "/equipment/SC-1/", "/equipment/SC-1/check/"


def check_of_scale(**changed: str) -> dict[str, str]:
    right = {"on": "2024-04-02", "against": "500 g weight", "known": "500", "known_unit": "g", "shown": "501"}
    return {**right, **changed}


# --- The pages


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_reads_the_equipment(shop: Shop, sign_on: SignOn, who: str) -> None:
    client = sign_on(getattr(shop, who))

    page = text(client.get("/equipment/"))
    assert "RE-1 Recovery machine, R-134a Sample Machine Works R-10, no. RE1-00417" in page
    assert "1 g" in text(client.get(SC1))


@pytest.mark.parametrize("who", ["lee", "dev"])
@pytest.mark.parametrize("url", ["/equipment/new/", "/equipment/SC-1/retire/"])
def test_only_the_owner_changes_equipment(shop: Shop, sign_on: SignOn, who: str, url: str) -> None:
    assert sign_on(getattr(shop, who)).get(url).status_code == 403
    assert send(sign_on(getattr(shop, who)), url).status_code == 403


def test_the_front_office_checks_no_scale(shop: Shop, lee: Client) -> None:
    assert lee.get(SC1_CHECK).status_code == 403
    assert "Check it" not in text(lee.get(SC1))


def test_a_shop_without_equipment_is_told_where_to_begin(db: None, sign_on: SignOn) -> None:
    from tests.factories import make_establishment, make_owner

    owner = make_owner(make_establishment("Sample Garage"), "Otto Binder")

    assert "Begin with the scale" in text(sign_on(owner).get("/equipment/"))


def test_equipment_that_is_not_there_is_not_found(shop: Shop, marta: Client) -> None:
    assert marta.get("/equipment/SC-9/").status_code == 404


def test_the_owner_puts_a_scale_on_file_as_its_plate_says(shop: Shop, marta: Client) -> None:
    answer = send(marta, "/equipment/new/", **SCALE)
    scale = Equipment.objects.get(code="SC-2")

    assert answer["Location"] == "/equipment/SC-2/"
    assert (scale.unit, scale.division_text, scale.division) == ("oz", "0.1", Mass.of("0.1", Unit.OZ))
    assert "0.1 oz" in text(marta.get("/equipment/SC-2/"))


def test_the_owner_puts_a_machine_on_file_with_its_refrigerants(shop: Shop, marta: Client) -> None:
    send(marta, "/equipment/new/", **MACHINE)
    machine = Equipment.objects.get(code="RE-3")

    assert machine.refrigerants == "R-134a, R-1234yf"
    assert machine.takes("R-1234yf")
    assert not machine.takes("R-1234")


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("code", {"code": ""}, "required"),
        ("code", {"code": "SC 2"}, "Use up to 12 letters, digits and dashes"),
        ("code", {"code": "sc-1"}, "SC-1 is in use"),
        ("code", {"code": "S" * 13}, "at most 12"),
        ("kind", {"kind": "toaster"}, "Select a valid choice"),
        ("in_service_on", {"in_service_on": ""}, "Pick the day."),
        ("division", {"division": ""}, "Type the scale's division"),
        ("division", {"division": "0"}, "Type the scale's division"),
        ("division", {"division": "-1"}, "below zero"),
        ("division", {"division": "one"}, ""),
        ("division", {"division": "0.1 troy oz"}, "troy"),
        ("division", {"division_unit": "stone"}, "Select a valid choice"),
        ("division", {"division": "9" * 41}, ""),
        ("maker", {"maker": "x" * 81}, "at most 80"),
    ],
)
def test_what_is_wrong_with_a_plate_stands_on_its_field(
    shop: Shop, marta: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    response = send(marta, "/equipment/new/", **{**SCALE, **changed})

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert Equipment.objects.count() == 5


@pytest.mark.parametrize(
    ("field", "changed"), [("does", {"does": "-"}), ("refrigerants", {"refrigerants": " , "})]
)
def test_a_machine_says_what_it_does_and_for_what(
    shop: Shop, marta: Client, field: str, changed: dict[str, str]
) -> None:
    assert errors(send(marta, "/equipment/new/", **{**MACHINE, **changed}), field)


def test_equipment_of_tomorrow_is_refused(shop: Shop, marta: Client) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()

    response = send(marta, "/equipment/new/", **{**SCALE, "in_service_on": tomorrow})

    assert errors(response, "in_service_on") == ["That day has not come yet."]


def test_a_technician_checks_the_scale_with_a_known_weight(shop: Shop, dev: Client) -> None:
    page = dev.get(send(dev, SC1_CHECK, **check_of_scale())["Location"])

    assert said(page) == ["SC-1 passed: off by +1.0 g; one division is 1 g either way."]
    assert "+1 g" in text(page)


def test_a_scale_two_divisions_off_does_not_pass(shop: Shop, dev: Client) -> None:
    page = text(dev.get(send(dev, SC1_CHECK, **check_of_scale(shown="502"))["Location"]))

    assert "did not pass" in page
    assert "+2 g" in page


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("on", {"on": ""}, "Pick the day."),
        ("on", {"on": "2023-05-01"}, "before this equipment came into service"),
        ("against", {"against": ""}, "required"),
        ("known", {"known": ""}, "Type the number"),
        ("known", {"known": "0"}, "more than zero"),
        ("shown", {"shown": ""}, "Type what the scale shows."),
        ("shown", {"shown": "500.5"}, ""),
        ("shown", {"shown": "17.6 oz"}, ""),
        ("shown", {"shown": "1,000,000"}, ""),
    ],
)
def test_what_is_wrong_with_a_check_stands_on_its_field(
    shop: Shop, dev: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    response = send(dev, SC1_CHECK, **check_of_scale(**changed))

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert Check.objects.count() == 1


def test_a_detector_passes_or_does_not(shop: Shop, dev: Client) -> None:
    url = "/equipment/LD-1/check/"
    unanswered = send(dev, url, on="2024-04-02", against="leak standard")
    answered = send(dev, url, on="2024-04-02", against="leak standard", passed="no")

    assert errors(unanswered, "passed")
    assert "Did not pass" in text(dev.get(answered["Location"]))


def test_a_retired_machine_is_out_of_the_bay_and_still_on_file(shop: Shop, marta: Client) -> None:
    send(marta, "/equipment/RE-1/retire/", last_day="2024-05-31", why="sold")

    assert "Out of service since May 31 2024: sold" in text(marta.get("/equipment/RE-1/"))
    machines = [piece.code for piece in in_service(shop.establishment, date(2024, 6, 1), "machine")]
    assert machines == ["RE-2"]
    again = send(marta, "/equipment/RE-1/retire/", last_day="2024-05-31", why="sold")
    assert errors(again, "last_day") == ["RE-1 is already out of service."]


@pytest.mark.parametrize(
    ("field", "changed"),
    [("why", {"why": ""}), ("last_day", {"last_day": ""}), ("last_day", {"last_day": "2020-02-02"})],
)
def test_what_is_wrong_with_a_retirement_stands_on_its_field(
    shop: Shop, marta: Client, field: str, changed: dict[str, str]
) -> None:
    response = send(marta, "/equipment/RE-1/retire/", **{"last_day": "2024-05-31", "why": "sold", **changed})

    assert errors(response, field)
    assert not Retirement.objects.exists()


# --- The services


def test_a_check_of_a_day_to_come_is_refused(shop: Shop) -> None:
    check = CheckIn(DAY + timedelta(days=1), "500 g weight", known=reading("500"), shown=reading("500"))

    with pytest.raises(Refused, match="not come yet"):
        log_check(shop.scale, check, today=DAY, at=NOON, by=shop.dev)


def test_a_scale_check_without_weights_is_refused(shop: Shop) -> None:
    with pytest.raises(Refused, match="known weight and what the scale showed"):
        log_check(shop.scale, CheckIn(DAY, "by eye"), today=DAY, at=NOON, by=shop.dev)


@pytest.mark.parametrize(("shown", "passed"), [("499", True), ("501", True), ("498", False), ("502", False)])
def test_a_scale_passes_within_one_division_either_way(shop: Shop, shown: str, passed: bool) -> None:
    # One division: NIST Handbook 44 2.20 table 6, class III maintenance, from memory.
    check = CheckIn(DAY, "500 g weight", known=reading("500"), shown=reading(shown))

    assert log_check(shop.scale, check, today=DAY, at=NOON, by=shop.dev).passed is passed


def test_two_pieces_never_share_a_name(shop: Shop) -> None:
    twin = EquipmentIn("sc-1", Equipment.Kind.SCALE, DAY, division=reading("1"))

    with pytest.raises(Refused, match="in use"):
        add_equipment(twin, shop.establishment, today=DAY, at=NOON, by=shop.marta)


def test_a_retirement_needs_its_reason(shop: Shop) -> None:
    with pytest.raises(Refused, match="why"):
        retire_equipment(shop.scale, last_day=DAY, why="  ", at=NOON, by=shop.marta)
