"""Usage reports: the sums of a period, what stops a signature, and months that close."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import Document
from compliance.services import (
    Change,
    correct_job,
    draft_usage_report,
    issue_usage_report,
    reissue_usage_report,
)
from inventory.models import Container, CountLine, Entry, MonthBalance, Movement
from inventory.queries import flows_up_to
from inventory.services import CountedIn, CountIn, DisposalIn, dispose_of, record_count
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.core.period import Period
from tests.compliance.work import Bay
from tests.factories import Shop, receive, ticket_in
from tests.pages import send, text

APRIL = Period(date(2024, 4, 1), date(2024, 4, 30))
LATER = datetime(2024, 5, 6, 18, 0, tzinfo=UTC)


def draft(shop: Shop, period: Period = APRIL) -> UsageReportFacts:
    return draft_usage_report(shop.establishment, period, today=LATER.date(), at=LATER, by=shop.marta)


def sign(shop: Shop, period: Period = APRIL) -> Document:
    return issue_usage_report(shop.establishment, period, today=LATER.date(), at=LATER, by=shop.marta)


@pytest.fixture
def april(bay: Bay, cans: list[Container]) -> Bay:
    """April: one case of twelve received, the sample job closed, the cabinet counted on the 30th."""
    bay.straight(cans[0], cans[1])
    counted = [
        CountedIn(cans[0], CountLine.How.WEIGHED, ticket_in(bay.shop, "128")),
        CountedIn(cans[1], CountLine.How.WEIGHED, ticket_in(bay.shop, "290")),
        *(CountedIn(can, CountLine.How.SEALED) for can in cans[2:]),
        CountedIn(bay.shop.rc02, CountLine.How.WEIGHED, ticket_in(bay.shop, "7966")),
    ]
    at = datetime(2024, 4, 30, 22, 30, tzinfo=UTC)
    record_count(CountIn(date(2024, 4, 30), counted), bay.shop.establishment, at=at, by=bay.shop.marta)
    return bay


def test_a_plate_that_was_put_right_stands_in_the_list_of_jobs(shop: Shop, cans: list[Container]) -> None:
    """Dev's car has no VIN, so the report names it by its plate."""
    bay = Bay.check_in(shop, vin="", plate="SMP-453")
    closing = bay.straight(cans[0], cans[1])
    assert draft(shop).jobs[0].vehicle.endswith(" SMP-453")

    wrong = Change("check-in-1-plate", "SMP-453", "SMP-435")
    correct_job(closing.job, [wrong], why="misread", on=LATER.date(), at=LATER, by=shop.marta)
    assert draft(shop).jobs[0].vehicle.endswith(" SMP-435")


def test_the_month_adds_up_as_worked_by_hand(april: Bay) -> None:
    facts = draft(april.shop)
    (new,) = facts.new
    # received 12 x 340 = 4080; fill 0; vehicles 503; hoses 6: expected 3571
    assert [
        new.opening_ug,
        new.received_ug,
        new.vehicles_ug,
        new.hoses_ug,
        new.heels_ug,
        new.released_ug,
    ] == [
        0,
        4_080_000_000,
        503_000_000,
        6_000_000,
        0,
        0,
    ]
    assert new.expected_ug == 3_571_000_000
    # counted: K-0001 128-126 = 2, K-0002 290-126 = 164, ten sealed 3400: 3566; the can is 5 g lighter (340-171 = 169)
    assert (new.counted_ug, new.difference_ug) == (3_566_000_000, -5_000_000)
    assert (new.counted_sealed, new.counted_open) == (10, 2)


def test_a_second_count_of_the_day_takes_the_place_of_the_first_can_by_can(april: Bay) -> None:
    """An hour later Lee counts again: K-0012 has turned up missing, K-0001 was thrown away with its 2 g."""
    shop, at = april.shop, datetime(2024, 4, 30, 23, 0, tzinfo=UTC)
    cans = list(Container.objects.filter(kind="can").order_by("pk"))
    dispose_of([cans[0]], DisposalIn("scrap metal"), on=at.date(), at=at, by=shop.dev)
    again = [
        CountedIn(cans[1], CountLine.How.WEIGHED, ticket_in(shop, "290")),
        *(CountedIn(can, CountLine.How.SEALED) for can in cans[2:11]),
        CountedIn(cans[11], CountLine.How.MISSING),
    ]
    at = datetime(2024, 4, 30, 23, 45, tzinfo=UTC)
    record_count(CountIn(date(2024, 4, 30), again), shop.establishment, at=at, by=shop.lee)

    (new,) = draft(shop).new
    assert (new.counted_sealed, new.counted_open) == (9, 1)
    assert new.counted_ug == 9 * 340_000_000 + 164_000_000


def test_the_recovered_side_adds_up_too(april: Bay) -> None:
    (recovered,) = draft(april.shop).recovered
    # 7966 - 17.1 lb (7756.429527 g) = 209.570473 g weighed against 210 g recovered
    assert recovered.vehicles_ug == recovered.expected_ug == 210_000_000
    assert recovered.difference_ug == -429_527


def test_the_totals_are_the_sum_of_the_certificates(april: Bay) -> None:
    facts = draft(april.shop)
    assert sum(job.charged_ug or 0 for job in facts.jobs) == facts.new[0].vehicles_ug
    assert sum(line.charged_ug for line in facts.technicians) == facts.new[0].vehicles_ug
    assert [(line.name, line.jobs, line.cards_in_force) for line in facts.technicians] == [
        ("Dev Larkin", 1, 1)
    ]


def test_the_four_closures_look_at_different_things(april: Bay) -> None:
    closures = {line.name: line for line in draft(april.shop).closures}
    assert closures["count"].residual_ug == 0
    assert closures["can"].residual_ug == -2_000_000  # 466 - 128 - 340
    assert closures["job"].residual_ug == 0
    assert closures["shelf"].cases == 0


def test_an_open_job_stops_the_signature_and_is_named(april: Bay) -> None:
    Bay.check_in(april.shop, plate="SMP-999", at=april.clock)
    assert any("J24-0002" in line for line in draft(april.shop).unfinished)
    with pytest.raises(Refused, match="J24-0002"):
        sign(april.shop)
    assert not Document.objects.filter(kind=Document.Kind.USAGE_REPORT).exists()


def test_a_period_not_counted_at_its_end_has_no_difference(bay: Bay, cans: list[Container]) -> None:
    bay.straight(cans[0], cans[1])
    (new,) = draft(bay.shop).new
    assert (new.counted_ug, new.difference_ug) == (None, None)


def test_signing_closes_the_month_and_the_book_refuses_entries_in_it(april: Bay) -> None:
    assert sign(april.shop).number == "UR-24-01"
    with pytest.raises(IntegrityError, match="closed month"), transaction.atomic():
        Entry.objects.create(
            establishment=april.shop.establishment,
            on=date(2024, 4, 12),
            text="late",
            at=LATER,
            by=april.shop.marta,
        )


def test_what_is_posted_late_goes_into_the_open_month(april: Bay) -> None:
    sign(april.shop)
    late = receive(april.shop, slip="88999", on=date(2024, 5, 2), at=LATER)
    assert late.entry.on == date(2024, 5, 2)


def test_the_kept_balances_say_the_same_as_the_rows(april: Bay) -> None:
    before = flows_up_to(april.shop.establishment, date(2024, 5, 31))
    sign(april.shop)
    assert MonthBalance.objects.exists()
    assert flows_up_to(april.shop.establishment, date(2024, 5, 31)) == before


def test_a_signed_report_does_not_move_when_later_work_is_booked(april: Bay, cans: list[Container]) -> None:
    signed = sign(april.shop)
    later = Bay.check_in(april.shop, plate="SMP-999", at=LATER)
    later.up_to_charge_again()
    later.draw(cans[2], "466", "128")
    later.draw(cans[3], "466", "298")
    later.keep_charge()
    later.finals()
    later.close()
    assert Document.objects.get(pk=signed.pk).facts == signed.facts
    (new,) = draft(april.shop, Period(date(2024, 5, 1), date(2024, 5, 6))).new
    assert (new.opening_ug, new.vehicles_ug) == (3_566_000_000, 500_000_000)


def test_a_period_is_signed_once_and_then_reissued_with_a_reason(april: Bay) -> None:
    signed = sign(april.shop)
    with pytest.raises(Refused, match="UR-24-01 covers these days"):
        sign(april.shop)
    again = reissue_usage_report(signed, why="invoice number added", at=LATER, by=april.shop.marta)
    assert (again.number, again.version, again.replaces) == ("UR-24-01", 2, signed)


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2024, 4, 30), date(2024, 4, 1), "Swap them"),
        (date(1, 1, 1), date(2024, 4, 30), "The year 0001 cannot be meant"),
        (date(2024, 5, 1), date(2024, 5, 31), "has not come yet"),
    ],
)
def test_a_period_that_cannot_be_is_refused(april: Bay, first: date, last: date, said: str) -> None:
    with pytest.raises(Refused, match=said):
        sign(april.shop, Period(first, last))


def test_mass_is_conserved_over_the_whole_book(april: Bay) -> None:
    held: dict[str, int] = {}
    for row in Movement.objects.all():
        held[row.source_id] = held.get(row.source_id, 0) - row.mass.ug
        held[row.target_id] = held.get(row.target_id, 0) + row.mass.ug
    assert sum(held.values()) == 0


def test_co2e_is_on_the_draft_when_asked_for_and_goes_along_with_the_signature(
    april: Bay, marta: Client
) -> None:
    days = {"first": "2024-04-01", "last": "2024-04-30"}
    assert "CO2e of releases Optional" not in text(marta.get("/reports/draft/", days))

    page = marta.get("/reports/draft/", {**days, "co2e": "ar6"})

    assert "CO2e of releases Optional" in text(page)
    assert '<input type="hidden" name="co2e" value="ar6">' in page.content.decode()
    send(marta, "/reports/sign/", **days, co2e="ar6")
    signed = Document.objects.get(kind=Document.Kind.USAGE_REPORT)
    kept = rebuild(UsageReportFacts, signed.facts).co2e
    assert kept is not None
    assert kept.said == "IPCC global warming potentials, Sixth Assessment Report, 2021, over 100 years"
    again = reissue_usage_report(signed, why="invoice number added", at=LATER, by=april.shop.marta)
    assert rebuild(UsageReportFacts, again.facts).co2e == kept
