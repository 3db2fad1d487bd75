"""An evacuation as written down: what cannot be is refused; page and certificate say what the gauge could tell."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client

from compliance import services
from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.certificate_stages import JUDGED
from compliance.core.evacuation import Judged
from compliance.core.stages import HoldResult, StageKind
from compliance.models import Evacuation, Stage
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.services import change_rule
from tests.compliance.papers.reading import text
from tests.compliance.work import Bay
from tests.factories import NOON, Shop

pytestmark = pytest.mark.one_engine

THREE = {
    "deepest": "600 micron",
    "hold_from": "600 micron",
    "hold_middle": "690 micron",
    "hold_to": "720 micron",
}
COMPOUND = {"deepest": "29.2 inHg", "hold_from": "29.2 inHg", "hold_to": "29.1 inHg"}
NASTY = ("", "-1", "9" * 30, "NaN", "\u202e600", "<script>alert(1)</script>", "1e400", "x" * 5000, "0.001")


def pump(bay: Bay, **readings: Any) -> Evacuation:
    said = THREE | readings
    evacuation = services.EvacuationIn(
        pump="VP-1",
        started_at=bay.later(),
        stopped_at=bay.later(35),
        result=HoldResult.HELD,
        hold_minutes=15,
        **said,
    )
    return services.record_evacuation(bay.job, evacuation, at=bay.later(16), by=bay.by)


def refused(bay: Bay, **readings: Any) -> set[tuple[str, str]]:
    with pytest.raises(Refused) as error:
        pump(bay, **readings)
    assert not Stage.objects.filter(kind=StageKind.EVACUATION).exists()
    return {(finding.code, finding.field) for finding in error.value.findings}


def up_the_mountain(shop: Shop, feet: str = "5000") -> None:
    rule = {"key": "altitude_ft", "value": feet, "basis": "the county's map"}
    day = date(2024, 4, 2)
    change_rule(shop.establishment, **rule, from_day=day, today=day, at=NOON, by=shop.marta)


def page(client: Client, bay: Bay) -> str:
    return client.get(f"/bay/{bay.job.number}/evacuation/").content.decode()


# --- Written down


def test_readings_are_kept_as_typed(bay: Bay) -> None:
    kept = pump(bay, barometer="29.5 inHg", temperature="78 °F")
    kept.refresh_from_db()
    assert (kept.deepest, kept.hold_middle, kept.barometer, kept.temperature) == (
        "600 micron",
        "690 micron",
        "29.5 inHg",
        "78 °F",
    )


@pytest.mark.parametrize(
    ("readings", "found"),
    [
        ({"deepest": "33 inHg"}, ("vacuum-too-deep", "deepest")),
        ({"hold_to": "900000 micron"}, ("vacuum-above-air", "hold_to")),
        ({"hold_middle": "0 micron"}, ("vacuum-below-all", "hold_middle")),
        ({"barometer": "20 inHg"}, ("barometer-corrected", "barometer")),
        ({"barometer": "29.5"}, ("barometer-unread", "barometer")),
        ({"temperature": "780 °F"}, ("temperature-absurd", "temperature")),
        ({"gauge": "compound gauge"}, ("micron-on-compound", "deepest")),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_nothing_is_written(
    bay: Bay, readings: dict[str, str], found: tuple[str, str]
) -> None:
    assert found in refused(bay, **readings)


def test_the_height_of_the_shop_decides_what_a_compound_gauge_can_show(shop: Shop, bay: Bay) -> None:
    assert pump(bay, **COMPOUND, hold_middle="").deepest == "29.2 inHg"
    up_the_mountain(shop)
    high = Bay.check_in(shop, plate="SMP-777")
    with pytest.raises(Refused, match=r"29\.2 inHg cannot be: the air here is about 24\.9 inHg"):
        pump(high, **COMPOUND, hold_middle="")


def test_words_that_are_no_reading_are_kept_and_nothing_is_made_of_them(bay: Bay, dev: Client) -> None:
    assert pump(bay, deepest="good").deepest == "good"
    assert "Not known. The deepest reading is no number" in page(dev, bay)


# --- On the page of the stage


def test_before_anything_is_typed_the_page_claims_nothing(bay: Bay, dev: Client) -> None:
    assert "worked" not in page(dev, bay)


def test_the_page_says_what_three_readings_tell(bay: Bay, dev: Client) -> None:
    pump(bay, temperature="78 °F")
    said = page(dev, bay)
    assert "The rise slows down, as when moisture or refrigerant leaves the oil." in said
    assert "it boils off in a bay at 78 °F (26 °C)" in said
    assert "No leak rate follows from it." in said


def test_the_page_says_it_from_the_draft_and_the_draft_counts_before_what_was_written(
    bay: Bay, dev: Client
) -> None:
    pump(bay)
    typed = {"deepest": "29.2", "deepest_unit": "inHg", "hold_from": "29.2", "hold_from_unit": "inHg"}
    ends = {"hold_to": "20", "hold_to_unit": "inHg", "hold_minutes": "20"}
    assert dev.post(f"/bay/{bay.job.number}/evacuation/draft/", typed | ends).status_code == 200
    said = page(dev, bay)
    assert "The pump pulls. Whether the system is dry, a compound gauge cannot tell." in said
    assert "Rise in 20 min" in said
    assert "+9.2 inHg" in said


def test_a_draft_that_cannot_be_is_said_before_it_is_signed(bay: Bay, dev: Client) -> None:
    dev.post(f"/bay/{bay.job.number}/evacuation/draft/", {"deepest": "34", "deepest_unit": "inHg"})
    assert "34 inHg cannot be" in page(dev, bay)


@pytest.mark.parametrize("nasty", NASTY)
def test_no_draft_shuts_the_page(bay: Bay, dev: Client, nasty: str) -> None:
    names = ("deepest", "hold_from", "hold_middle", "hold_to", "hold_minutes", "barometer", "temperature")
    units = {f"{name}_unit": nasty for name in names}
    dev.post(f"/bay/{bay.job.number}/evacuation/draft/", dict.fromkeys(names, nasty) | units)
    assert "<script>alert" not in page(dev, bay)


def test_a_refused_reading_is_said_beside_its_field(bay: Bay, dev: Client) -> None:
    typed = {
        "started_at": "2024-04-02T12:10",
        "stopped_at": "2024-04-02T12:50",
        "deepest": "34",
        "deepest_unit": "inHg",
        "result": "no hold taken",
        "pump": "VP-1",
        "once": "x" * 22,
    }
    address = f"/bay/{bay.job.number}/evacuation/"
    answer = dev.post(address, typed)
    assert answer.status_code == 200
    assert "34 inHg cannot be" in str(answer.context["form"].errors["deepest"])
    assert not Evacuation.objects.exists()
    assert dev.post(address, typed | {"deepest": "29.2", "once": "y" * 22}).status_code == 302
    assert Evacuation.objects.get().deepest == "29.2 inHg"


# --- On the certificate


def papers(bay: Bay, cans: list[Container], **readings: Any) -> tuple[CertificateFacts, str]:
    bay.recover()
    bay.leak_check()
    pump(bay, **readings)
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    facts = rebuild(CertificateFacts, bay.close().certificates.get().document.facts)
    return facts, text(certificate(facts))


def test_the_certificate_says_depth_hold_rise_and_where_water_boils(bay: Bay, cans: list[Container]) -> None:
    _, said = papers(bay, cans)
    assert "15 min, from 600 micron to 720 micron, half way 690 micron. Held." in said
    assert "600 micron: water boils at −9 °F (−23 °C), no proof of dryness" in said
    assert "+120 micron: slowing, as with moisture or oil. Shows gross leaks only." in said


def test_a_compound_gauge_puts_no_micron_on_paper(bay: Bay, cans: list[Container]) -> None:
    _, said = papers(bay, cans, **COMPOUND, hold_middle="", barometer="29.5 inHg")
    assert "29.2 inHg, in air of 29.5 inHg: the pump pulled, nothing about dryness" in said
    assert "+0.1 inHg: less than the gauge can tell. Shows gross leaks only." in said
    assert "micron" not in said


def test_words_for_a_reading_are_printed_and_nothing_beside_them(bay: Bay, cans: list[Container]) -> None:
    facts, said = papers(bay, cans, deepest="good", hold_from="good", hold_middle="", hold_to="good")
    assert facts.evacuations[0].vacuum is None
    assert "Deepest good Hold" in said


def test_every_judgement_has_its_words_on_the_certificate() -> None:
    assert set(JUDGED) == {one.value for one in Judged}


# --- Without a job


def sum_page(client: Client, **typed: str) -> str:
    answer = client.get("/sums/vacuum/", typed)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_sum_tells_where_water_boils(dev: Client) -> None:
    # 29 inHg at the sea: 24.73 °C = 76.5 °F (IAPWS-IF97)
    said = sum_page(dev, deepest="29", deepest_unit="inHg")
    assert "76 °F (25 °C) as read" in said or "77 °F (25 °C) as read" in said
    assert "System under vacuum, do not start." in said


def test_the_sum_judges_a_hold_of_three_readings(dev: Client) -> None:
    said = sum_page(dev, deepest="500", hold_middle="1500", hold_to="2500", minutes="10")
    assert "as with a leak" in said


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ({"deepest": ""}, "required"),
        ({"deepest": "34", "deepest_unit": "inHg"}, "34 inHg cannot be"),
        ({"deepest": "600", "hold_to": "700"}, "Type the minutes of the hold."),
        ({"deepest": "600", "hold_middle": "700", "minutes": "10"}, "Type the reading at the end"),
        ({"deepest": "600", "barometer": "20"}, "does not fit the shop"),
    ],
)
def test_the_sum_asks_for_what_is_missing_or_cannot_be(
    dev: Client, typed: dict[str, str], asked: str
) -> None:
    said = sum_page(dev, **typed)
    assert asked in said
    assert 'class="worked"' not in said


@pytest.mark.parametrize("nasty", NASTY)
def test_the_sum_answers_whatever_is_typed(dev: Client, nasty: str) -> None:
    names = ("deepest", "hold_middle", "hold_to", "minutes", "barometer", "temperature")
    assert "<script>alert" not in sum_page(dev, **dict.fromkeys(names, nasty))
