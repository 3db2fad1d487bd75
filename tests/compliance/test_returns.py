"""Cans that came damaged or went back, on the usage report, on Today and on their own paper."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from compliance.core.usage_account import accounts
from compliance.core.usage_report import usage_report
from compliance.queries.attention import asking
from compliance.queries.whole_book import whole_book_findings
from compliance.services import draft_usage_report
from inventory.models import Container, Delivery, ReturnSlip
from inventory.services import (
    DamageIn,
    InvoiceIn,
    LineIn,
    RestIn,
    RestLineIn,
    ReturnIn,
    add_invoice,
    note_damage,
    receive_rest,
    return_cans,
)
from shop.core.period import Period
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cans_of, receive, ticket_in
from tests.pages import text

APRIL = Period(date(2024, 4, 1), date(2024, 4, 30))
LATER = datetime(2024, 5, 6, 18, 0, tzinfo=UTC)


@pytest.fixture
def delivery(shop: Shop) -> Delivery:
    """24 on the slip: 20 sound, one crushed and weighed, three came a week later; one of the 20 was found crushed,
    two went back as the wrong kind, the crushed one went back too."""
    made = receive(shop, LineIn(shop.can12, 24, 20, damaged=1))
    cans, crushed = cans_of(made), Container.objects.get(delivered__sound=False)
    week = DAY + timedelta(days=7)
    damage = DamageIn("crushed seam", "outside, upright", ticket_in(shop, "402"))
    note_damage(crushed, damage, today=DAY, at=NOON, by=shop.lee)
    rest = RestIn(week, (RestLineIn(made.lines.get(), 3),))
    receive_rest(made, rest, today=week, at=NOON, by=shop.lee)
    found = DamageIn("valve bent", "outside, upright", ticket_in(shop, "446"))
    note_damage(cans[19], found, today=week, at=NOON, by=shop.lee)
    sent = ReturnIn(
        (crushed, cans[17], cans[18]), DAY, ReturnSlip.To.SUPPLIER, "the driver", "crushed; wrong kind"
    )
    return_cans(made, sent, today=DAY, at=NOON, by=shop.lee)
    return made


def test_the_report_balances_with_every_mishap_of_a_delivery(shop: Shop, delivery: Delivery) -> None:
    facts = draft_usage_report(shop.establishment, APRIL, today=LATER.date(), at=LATER, by=shop.marta)
    (new,) = facts.new

    # Received (20 + 3) x 340 = 7820. Refused later 340; returned 2 x 340 = 680: expected 7820 - 340 - 680 = 6800.
    assert (new.received_ug, new.received_cans, new.refused_cans) == (7_820_000_000, 23, 1)
    assert (new.damaged_ug, new.returned_ug, new.released_ug) == (-340_000_000, 680_000_000, 0)
    assert (
        new.expected_ug
        == 6_800_000_000
        == Container.objects.filter(fate=None, kind="can").count() * 340_000_000
    )
    # Gone before our work: 466 - 402 = 64 and 466 - 446 = 20.
    assert (new.lost_before_ug, new.given_back_cans) == (84_000_000, 3)
    # Purchases: 20 on April 2, 3 on April 9, and they come to what was received.
    assert [(line.day, line.cans) for line in facts.purchases] == [("2024-04-02", 20), ("2024-04-09", 3)]
    assert sum(line.mass_ug for line in facts.purchases) == new.received_ug
    assert accounts(facts).released("R-134a") == 0
    assert whole_book_findings() == []


def test_the_paper_says_what_was_refused_and_what_was_gone(shop: Shop, delivery: Delivery) -> None:
    facts = draft_usage_report(shop.establishment, APRIL, today=LATER.date(), at=LATER, by=shop.marta)
    said = " ".join(str(block) for block in usage_report(facts).blocks)

    assert "84\u00a0g out of damaged cans" in said.replace("\\xa0", "\u00a0")
    assert "− Refused later, came damaged" in said
    assert "− Returned to suppliers" in said
    assert "▲ Look" not in said


def test_a_can_without_a_credit_is_remembered_after_two_weeks(shop: Shop, delivery: Delivery) -> None:
    def lines(days: int) -> list[str]:
        return [ask.text for ask in asking(shop.establishment, DAY + timedelta(days=days), shop.lee)]

    reminder = "RS24-0001: 3 cans returned Apr 2, no credit yet – email ready."
    assert reminder not in lines(13)
    assert reminder in lines(14)
    assert "K-0020 came damaged and is still here." in lines(0)


def test_a_technician_is_not_asked_for_the_office_s_papers(shop: Shop, delivery: Delivery) -> None:
    said = [ask.text for ask in asking(shop.establishment, DAY + timedelta(days=30), shop.dev)]

    assert not any(word in one for one in said for word in ("credit", "invoice", "deposit", "damaged"))


@pytest.mark.parametrize(
    ("due", "days", "says"), [(3, 2, False), (3, 3, True), (None, 6, False), (None, 7, True)]
)
def test_the_rest_of_a_slip_is_remembered_on_its_day(
    shop: Shop, due: int | None, days: int, says: bool
) -> None:
    receive(shop, LineIn(shop.can12, 24, 12, due=DAY + timedelta(days=due) if due else None))
    said = [ask.text for ask in asking(shop.establishment, DAY + timedelta(days=days), shop.lee)]

    assert any("12 × R-134a 12-oz can to come since Apr" in one for one in said) is says


def test_the_return_slip_is_a_page_and_a_pdf_of_the_same_words(
    shop: Shop, delivery: Delivery, lee: Client
) -> None:
    add_invoice(delivery, InvoiceIn("550917", DAY, 64218), today=DAY, at=NOON, by=shop.lee)
    page = text(lee.get("/returns/RS24-0001/"))
    pdf = lee.get("/returns/RS24-0001/pdf/")

    for words in (
        "Sample Parts Supply",
        "88412",
        "550917",
        "the driver",
        "crushed; wrong kind",
        "K-0021",
        "64\xa0g".replace("\xa0", " "),
    ):
        assert words in page
    assert "$" not in page
    assert pdf.content.startswith(b"%PDF-")
    assert pdf.content == lee.get("/returns/RS24-0001/pdf/").content


def test_the_reminder_is_an_email_that_a_person_sends(shop: Shop, delivery: Delivery, lee: Client) -> None:
    page = lee.get("/returns/RS24-0001/").content.decode()

    assert 'href="mailto:?subject=Credit%20for%20return%20RS24-0001' in page
    assert "K-0018%2C%20K-0019%2C%20K-0021" in page


def test_low_stock_comes_from_real_use(shop: Shop) -> None:
    cans = cans_of(receive(shop, LineIn(shop.can12, 3, 3)))
    Bay.check_in(shop).straight(cans[0], cans[1])

    def low() -> list[str]:
        said = [ask.text for ask in asking(shop.establishment, DAY, shop.dev)]
        return [one for one in said if "usual week uses" in one]

    # 509 g left 340-g cans in the book's first week: 509 / 340 = 1.5 cans; one full can is less than two such weeks.
    assert low() == ["1 full can of R-134a left, usual week uses 1.5."]
    receive(shop, LineIn(shop.can12, 2, 2), slip="88413")
    assert low() == []  # three are more than 2 x 1.497
