"""Shipments: weighed, sent to a facility with an address, by our weight; theirs stands beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.models import Document
from compliance.queries.attention import asking
from compliance.queries.whole_book import whole_book_findings
from compliance.services import receive_receipt, send_shipment
from inventory.models import Container, Facility, Movement, Shipment
from inventory.services import (
    CylinderSent,
    FacilityIn,
    ReceiptIn,
    ShipmentIn,
    TicketIn,
    add_facility,
    mark_mixed,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, Unit, grams
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, book_of, cylinder_holding, reading

ADDRESS = "9 Depot Lane, Other Springs, ST 00000"


@pytest.fixture
def facility(shop: Shop) -> Facility:
    place = FacilityIn("Saltgrass Refrigerant Recovery", ADDRESS, reclaimer_checked_on=DAY)
    return add_facility(place, shop.establishment, today=DAY, at=NOON, by=shop.lee)


@pytest.fixture
def rc01(shop: Shop) -> Container:
    """Holds 13.0 lb by the book; with its tare of 17.1 lb it weighs 30.1 lb."""
    return cylinder_holding(shop, "RC-01", "13.0")


def sent(shop: Shop, facility: Facility, *cylinders: CylinderSent, **more: str) -> ShipmentIn:
    return ShipmentIn(facility, "reclaim", "own van", cylinders, driver="J. Sample", capped=True, **more)


def weighed(shop: Shop, cylinder: Container, text: str, *, comes_back: bool = False) -> CylinderSent:
    return CylinderSent(cylinder, TicketIn(shop.scale, reading(text)), comes_back=comes_back)


def send(shop: Shop, facility: Facility, *cylinders: CylinderSent) -> Shipment:
    return send_shipment(sent(shop, facility, *cylinders), shop.establishment, on=DAY, at=NOON, by=shop.lee)


def codes_of(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [one.code for one in refused.value.findings]


def test_what_left_is_gross_less_the_stamped_tare(shop: Shop, facility: Facility, rc01: Container) -> None:
    # 17.1 lb x 453.59237 = 7756.429527 g; 13 656 - 7756.429527 = 5899.570473 g
    shipment = send(shop, facility, weighed(shop, rc01, "13656"))
    assert shipment.number == "S24-01"
    assert shipment.cylinders.get().net == Mass(5_899_570_473)
    moved = Movement.objects.filter(purpose="shipped").get()
    assert (moved.source_id, moved.target_id, moved.mass) == ("RC-01", "facility", Mass(5_899_570_473))


def test_what_the_book_had_more_is_a_difference_and_never_shipped(
    shop: Shop, facility: Facility, rc01: Container
) -> None:
    # The book had 13.0 lb = 5896.70081 g; the scale says 2.869663 g more
    send(shop, facility, weighed(shop, rc01, "13656"))
    counted = Movement.objects.filter(purpose="counted").get()
    assert (counted.source_id, counted.target_id) == ("unexplained", "RC-01")
    assert counted.mass == Mass(5_899_570_473) - Mass.of("13.0", Unit.LB)
    assert Movement.objects.balances(["RC-01"])["RC-01"] == ZERO
    assert whole_book_findings() == []


def test_a_cylinder_that_stays_there_is_out_of_use_and_one_that_comes_back_is_not(
    shop: Shop, facility: Facility, rc01: Container
) -> None:
    other = cylinder_holding(shop, "RC-03", "2.0")
    send(shop, facility, weighed(shop, rc01, "13656"), weighed(shop, other, "8660", comes_back=True))
    assert Container.objects.get(pk="RC-01").fate.what == "shipped"
    assert book_of(shop)["RC-03"] == ZERO
    assert "RC-01" not in book_of(shop)


def test_its_record_names_facility_and_address(
    shop: Shop, facility: Facility, rc01: Container, lee: Client
) -> None:
    send(shop, facility, weighed(shop, rc01, "13656"))
    document = Document.objects.get(kind="shipment")
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(bytes(document.pdf))).pages)
    for said in ("Saltgrass Refrigerant Recovery", ADDRESS, "40 CFR 82.42(b)(1)", "5,900", "J. Sample"):
        assert said in " ".join(text.split()), said
    assert "compliant" not in text
    page = lee.get(f"/papers/{document.number}/1/")
    assert ADDRESS in page.content.decode()


def test_their_weight_stands_beside_ours_and_the_book_keeps_ours(
    shop: Shop, facility: Facility, rc01: Container
) -> None:
    # 5862 - 5899.570473 = -37.570473 g, -0.6 % (the worked example of a shipment record)
    shipment = send(shop, facility, weighed(shop, rc01, "13656"))
    receipt = ReceiptIn("T-2210", DAY + timedelta(days=3), {"RC-01": reading("5862")})
    receive_receipt(
        shipment, receipt, today=DAY + timedelta(days=4), at=NOON + timedelta(days=4), by=shop.lee
    )
    assert shipment.cylinders.get().received.difference == grams("5862") - Mass(5_899_570_473)
    assert Movement.objects.filter(target="facility").get().mass == Mass(5_899_570_473)
    newest = Document.objects.get(kind="shipment", replaced_by=None)
    assert newest.version == 2
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(bytes(newest.pdf))).pages)
    assert "5,862" in text
    assert "−0.6" in text


def test_more_than_2_percent_apart_asks_for_a_note(shop: Shop, facility: Facility, rc01: Container) -> None:
    shipment = send(shop, facility, weighed(shop, rc01, "13656"))
    receipt = ReceiptIn("T-2210", DAY, {"RC-01": reading("5700")})
    with pytest.raises(Refused) as refused:
        receive_receipt(shipment, receipt, today=DAY, at=NOON, by=shop.lee)
    assert codes_of(refused) == ["receipt-differs"]
    noted = replace(receipt, note="their scale is checked on Monday")
    assert receive_receipt(shipment, noted, today=DAY, at=NOON, by=shop.lee).number == "T-2210"


def test_a_receipt_is_kept_once_and_names_every_cylinder(
    shop: Shop, facility: Facility, rc01: Container
) -> None:
    shipment = send(shop, facility, weighed(shop, rc01, "13656"))
    with pytest.raises(Refused) as refused:
        receive_receipt(shipment, ReceiptIn("T-1", DAY, {}), today=DAY, at=NOON, by=shop.lee)
    assert codes_of(refused) == ["receipt-net"]
    whole = ReceiptIn("T-1", DAY, {"RC-01": reading("5890")})
    receive_receipt(shipment, whole, today=DAY, at=NOON, by=shop.lee)
    with pytest.raises(Refused) as refused:
        receive_receipt(shipment, whole, today=DAY, at=NOON, by=shop.lee)
    assert codes_of(refused) == ["receipt-known"]


@pytest.mark.parametrize("address", ["", "  ", "Depot"])
def test_no_facility_without_an_address(shop: Shop, address: str) -> None:
    with pytest.raises(Refused) as refused:
        add_facility(FacilityIn("Saltgrass", address), shop.establishment, today=DAY, at=NOON, by=shop.lee)
    assert codes_of(refused) == ["facility-address"]


def test_an_overfilled_cylinder_does_not_go_on_the_road(shop: Shop, facility: Facility) -> None:
    # water capacity 26.2 lb, 80 % of it 20.96 lb = 9507.3 g; 17.1 + 22 lb = 17 735.5 g
    over = cylinder_holding(shop, "RC-09", "20.0")
    with pytest.raises(Refused) as refused:
        send(shop, facility, weighed(shop, over, "17735"))
    assert codes_of(refused) == ["ship-over-limit"]
    assert not Shipment.objects.exists()


def test_what_cannot_leave_is_refused_by_name(shop: Shop, facility: Facility, rc01: Container) -> None:
    light = weighed(shop, rc01, "7000")
    with pytest.raises(Refused) as refused:
        send(shop, facility, light)
    assert [(one.code, one.field) for one in refused.value.findings] == [("below-tare", "RC-01")]
    with pytest.raises(Refused) as refused:
        send(shop, facility)
    assert codes_of(refused) == ["shipment-empty"]
    uncapped = replace(sent(shop, facility, weighed(shop, rc01, "13656")), capped=False, carrier=" ")
    with pytest.raises(Refused) as refused:
        send_shipment(uncapped, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    assert codes_of(refused) == ["carrier-empty", "shipment-uncapped"]


def test_a_cylinder_of_an_open_job_waits_for_it(shop: Shop, facility: Facility) -> None:
    Bay.check_in(shop).recover()
    with pytest.raises(Refused) as refused:
        send(shop, facility, weighed(shop, shop.rc02, "7966"))
    assert codes_of(refused) == ["container-waits"]


def test_a_mixed_cylinder_may_be_sent_and_is_called_mixed(
    shop: Shop, facility: Facility, rc01: Container
) -> None:
    mark_mixed(rc01, since=NOON, why="the identifier says so", at=NOON, by=shop.dev)
    send(shop, facility, weighed(shop, Container.objects.get(pk="RC-01"), "13656"))
    document = Document.objects.get(kind="shipment")
    assert '"mixed":true' in document.facts.replace(" ", "")


def test_a_missing_receipt_asks_after_two_weeks(shop: Shop, facility: Facility, rc01: Container) -> None:
    send(shop, facility, weighed(shop, rc01, "13656"))
    for days, expected in ((13, False), (14, True)):
        asked = asking(shop.establishment, DAY + timedelta(days=days), shop.lee)
        assert any("no receipt yet" in one.text for one in asked) is expected


def test_the_front_office_sends_through_the_pages(shop: Shop, rc01: Container, lee: Client) -> None:
    assert "add a facility" in lee.get("/shipments/new/").content.decode()
    lee.post("/shipments/facility/", {"name": "Saltgrass", "address": ADDRESS, "once": "a" * 22})
    place = Facility.objects.get()
    typed = {
        "facility": place.pk,
        "purpose": "reclaim",
        "scale": shop.scale.pk,
        "carrier": "own van",
        "capped": "on",
        "RC-01": "13656",
        "once": "b" * 22,
    }
    answer = lee.post("/shipments/new/", typed)
    assert answer.headers["Location"] == "/shipments/S24-01/" or Shipment.objects.exists()
    number = Shipment.objects.get().number
    page = lee.get(f"/shipments/{number}/").content.decode()
    assert "for the facility" in page
    typed = {"number": "T-9", "on": Shipment.objects.get().on.isoformat(), "RC-01": "5862", "RC-01_unit": "g"}
    lee.post(f"/shipments/{number}/receipt/", typed | {"once": "c" * 22})
    assert "5,862" in lee.get(f"/shipments/{number}/").content.decode()
    assert "5,862" in lee.get("/shipments/").content.decode()
