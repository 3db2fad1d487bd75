"""A car that comes back: what it lost since, on its sheet, beside its stages and on its paper."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.leak_rate import LeakRate, Unknown
from compliance.core.stages import Identified, StageKind
from compliance.models import CheckIn
from compliance.queries import job_sheet
from compliance.queries.visits import CameBack, came_back
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.services import change_rule
from tests.compliance.papers.reading import text
from tests.compliance.test_bends import rc09
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import NOON, Shop

__all__ = ["rc09"]
LATER = NOON + timedelta(days=400)


@pytest.fixture
def dev(shop: Shop, sign_on: SignOn) -> Client:
    return sign_on(shop.dev)


@pytest.fixture
def charged(bay: Bay, cans: list[Container]) -> Bay:
    """503 g into a 500 g car, u 1.3 g."""
    bay.straight(cans[0], cans[1])
    return bay


def back(shop: Shop, *, at: datetime = LATER, **said: Any) -> Bay:
    return Bay.check_in(shop, at=at, **said)


def seen(bay: Bay) -> CameBack:
    one = came_back(job_sheet(bay.job))
    assert one is not None
    return one


def rate(bay: Bay) -> LeakRate:
    one = seen(bay).rate
    assert isinstance(one, LeakRate), one
    return one


def why(bay: Bay) -> str:
    one = seen(bay).rate
    assert isinstance(one, Unknown), one
    return one.reason


def test_a_car_on_its_first_visit_has_nothing_to_compare(bay: Bay) -> None:
    bay.recover()
    assert came_back(job_sheet(bay.job)) is None


def test_before_anything_is_weighed_nothing_is_said(charged: Bay, shop: Shop) -> None:
    assert seen(back(shop)).rate is None


def test_what_was_put_in_less_what_is_weighed_out_is_a_rate(charged: Bay, shop: Shop) -> None:
    bay = back(shop)
    bay.recover("7966", "8416")  # 450 g: 503 - 450/0.97 = 39.1 g in 400 days, 35.7 g a year
    one = rate(bay)
    assert one.since.days == 400
    assert one.loss == pytest.approx(39.1, abs=0.1)
    assert one.per_year == pytest.approx(35.7, abs=0.1)
    assert one.is_above_normal


def test_the_sheet_and_the_leak_check_show_it(charged: Bay, shop: Shop, dev: Client) -> None:
    bay = back(shop)
    bay.recover("7966", "8416")
    headline = "Lost about 39 g in 400 days, 36 g a year: above normal."
    for page in ("", "recovery/", "leak-check/", "repair/"):
        assert headline in dev.get(f"/bay/{bay.job.number}/{page}").content.decode(), page
    recovery = dev.get(f"/bay/{bay.job.number}/recovery/").content.decode()
    assert (
        '<details class="worked">' in recovery
    )  # its headline, and the form at once; the rest is a tap away
    assert headline not in dev.get(f"/bay/{bay.job.number}/evacuation/").content.decode()


def test_what_asks_for_no_look_stays_off_the_leak_check(charged: Bay, shop: Shop, dev: Client) -> None:
    bay = back(shop)
    bay.recover("7966", "8452")  # 486 g: 503 - 501.0 = 2 g
    assert "No loss is shown" in dev.get(f"/bay/{bay.job.number}/").content.decode()
    assert "No loss is shown" not in dev.get(f"/bay/{bay.job.number}/leak-check/").content.decode()


def test_a_gross_loss_is_said_as_repair_and_comeback(charged: Bay, shop: Shop, dev: Client) -> None:
    bay = back(shop, at=NOON + timedelta(days=57))
    bay.recover("7966", "8111")
    page = dev.get(f"/bay/{bay.job.number}/leak-check/").content.decode()
    assert "repair before recharging" in page
    assert "Comeback: within the shop&#x27;s 365 days" in page


def test_the_owners_rule_of_recovery_counts_from_its_day(charged: Bay, shop: Shop) -> None:
    change: dict[str, Any] = {
        "key": "recovery_percent",
        "value": "90",
        "basis": "weighed against a known fill",
    }
    day = LATER.date()
    change_rule(shop.establishment, **change, from_day=day, today=day, at=LATER, by=shop.marta)
    bay = back(shop)
    bay.recover("7966", "8416")  # 450/0.90 = 500 g
    assert rate(bay).loss == pytest.approx(3, abs=0.1)


def test_two_recoveries_of_one_visit_count_together(charged: Bay, shop: Shop) -> None:
    bay = back(shop)
    bay.recover("7966", "8366")
    bay.recover("8366", "8416")
    assert rate(bay).loss == pytest.approx(39.1, abs=0.1)


@pytest.mark.parametrize(
    ("said", "reason"),
    [({"label": "540"}, "The label does not say"), ({"label": None}, "")],
)
def test_another_label_is_another_system(charged: Bay, shop: Shop, said: dict[str, Any], reason: str) -> None:
    bay = back(shop, **said)
    bay.recover("7966", "8416")
    assert isinstance(seen(bay).rate, Unknown) == bool(reason)


def test_a_visit_that_opened_the_system_in_between_breaks_the_count(charged: Bay, shop: Shop) -> None:
    between = back(shop, at=NOON + timedelta(days=30))
    between.recover("7966", "8000")
    between.close(stopped="customer left", state_now="recovered", choice="came for the car")
    bay = back(shop)
    bay.recover("8000", "8416")
    assert why(bay) == "The system was opened since, in J24-0002."


def test_what_another_shop_did_breaks_the_count(charged: Bay, shop: Shop) -> None:
    bay = back(shop, elsewhere="compressor replaced")
    bay.recover("7966", "8416")
    assert "compressor replaced" in why(bay)


def test_the_check_in_takes_what_another_shop_did(charged: Bay, shop: Shop, dev: Client) -> None:
    typed = {
        "plate": "SMP-417", "description": "2014 sedan, blue", "customer": "Ines", "complaint": "blows warm",
        "refrigerant": "R-134a", "charge": "500", "tolerance": "20", "unit": "g", "source": "under-hood label",
        "compressor": "belt", "unit_kind": "car or light truck", "rear_air": "on", "elsewhere": "condenser replaced",
    }  # fmt: skip
    assert dev.post("/bay/new/", typed).status_code == 302
    kept = CheckIn.objects.latest("stage_id")
    assert (kept.elsewhere, kept.rear_air) == ("condenser replaced", True)


def test_mixed_refrigerant_is_no_measure_of_a_leak(charged: Bay, shop: Shop, rc09: Container) -> None:
    bay = back(shop)
    bay.recover("7756", "8206", cylinder=rc09, identified=Identified.MIXED)
    assert "mixed or unknown" in why(bay)


def test_a_recovery_left_out_is_unknown_and_not_zero(charged: Bay, shop: Shop, dev: Client) -> None:
    bay = back(shop)
    bay.leave_out(StageKind.RECOVERY, "customer wants a top-up")
    page = dev.get(f"/bay/{bay.job.number}/").content.decode()
    assert "Not known. Nothing was recovered on this visit" in page


def test_a_top_up_gives_a_lower_bound(charged: Bay, shop: Shop, cans: list[Container], dev: Client) -> None:
    bay = back(shop)
    bay.leave_out(StageKind.RECOVERY, "customer wants a top-up")
    bay.draw(cans[2], "466", "340")  # 126 g out, 6 g in the hoses
    page = dev.get(f"/bay/{bay.job.number}/").content.decode()
    assert "topped up without recovery" in page
    assert "Lower bound only: 120 g" in page


def test_after_a_top_up_nobody_knows_what_it_held(bay: Bay, cans: list[Container], shop: Shop) -> None:
    rule: dict[str, Any] = {"key": "top_up_without_recovery", "value": "1", "basis": "owner"}
    day = NOON.date()
    change_rule(shop.establishment, **rule, from_day=day, today=day, at=NOON, by=shop.marta)
    for kind in (StageKind.RECOVERY, StageKind.EVACUATION):
        bay.leave_out(kind, "top-up")
    bay.leak_check()
    bay.draw(cans[0], "466", "340")
    bay.keep_charge()
    bay.finals()
    bay.close(remark="top-up asked for")
    again = back(shop)
    again.recover("7756", "8206")
    assert "J24-0001 was a top-up" in why(again)


def printed(bay: Bay) -> str:
    paper = bay.job.closing.certificates.get().document
    return text(certificate(rebuild(CertificateFacts, paper.facts)))


def charge_again(bay: Bay, cans: list[Container]) -> None:
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[2], "466", "128", emptied=True)
    bay.draw(cans[3], "464", "293")
    bay.keep_charge()
    bay.finals()
    bay.close()


def test_the_certificate_says_it_in_one_line(charged: Bay, shop: Shop, cans: list[Container]) -> None:
    bay = back(shop)
    bay.recover("7966", "8416")
    charge_again(bay, cans)
    said = printed(bay)
    assert "About 39 g lost in the 400 days since J24-0001, give or take" in said
    assert "36 g a year" in said
    assert "Shop finding." in said


def test_a_loss_that_is_not_shown_is_printed_as_no_proof(
    charged: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay = back(shop)
    bay.recover("7966", "8452")
    charge_again(bay, cans)
    assert "no proof that nothing leaks" in printed(bay)


def test_the_first_certificate_of_a_car_has_no_such_line(charged: Bay) -> None:
    assert "Since the last charge here" not in printed(charged)


def test_a_bay_temperature_is_kept_and_a_wrong_one_refused(bay: Bay, dev: Client, shop: Shop) -> None:
    page = f"/bay/{bay.job.number}/recovery/"
    typed = {
        "machine": shop.equipment["RE-1"].pk, "cylinder": "RC-02", "before": "7756", "after": "7966",
        "scale": shop.scale.pk, "identified": "identifier not used",
        "started_at": "2024-04-02T11:30", "bay": "warm",
    }  # fmt: skip
    assert "is no temperature" in dev.post(page, typed).content.decode()
    assert dev.post(page, typed | {"bay": "72", "bay_unit": "°F"}).status_code == 302
    assert job_sheet(bay.job).recoveries[0].bay == "72 °F"
