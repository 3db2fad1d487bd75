"""A scale that does not pass: which tickets are in doubt, how they are shown, and what the owner decides."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from inventory.models import Container, DoubtSettled, WeighTicket
from inventory.queries import doubts, tickets_in_doubt
from inventory.services import settle_doubt, weigh
from shop.core.findings import Refused
from shop.http import now
from shop.models import Check
from shop.services import CheckIn, change_rule, log_check
from tests.compliance.sheets.reading import sheet
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import (
    DAY,
    NOON,
    Shop,
    cans_of,
    make_establishment,
    make_owner,
    reading,
    receive,
    ticket_in,
)
from tests.pages import send, text

CHECK = "/equipment/SC-1/check/"


def check(shop: Shop, shown: str, *, at: datetime) -> Check:
    said = CheckIn(at.date(), "500 g weight", known=reading("500"), shown=reading(shown))
    return log_check(shop.scale, said, today=at.date(), at=at, by=shop.dev)


def numbers(failed: Check) -> list[int]:
    """The tickets that a failed check puts in doubt."""
    doubt = next(one for one in doubts(failed.equipment.establishment, settled=True) if one.check == failed)
    return [ticket.number for ticket in tickets_in_doubt(doubt)]


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def failed(shop: Shop, cans: list[Container]) -> Check:
    """A can weighed before a good check on Apr 3, a job after it, and a check 4 g off on Apr 8."""
    weigh(cans[5], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    check(shop, "500", at=NOON + timedelta(days=1))
    Bay.check_in(shop, at=NOON + timedelta(days=2)).straight(cans[0], cans[1])
    return check(shop, "504", at=NOON + timedelta(days=6))


def test_only_tickets_since_the_last_good_check_are_in_doubt(failed: Check) -> None:
    # Ticket 1 came before the good check; 2 and 3 are of the recovery, 4 to 7 of the two cans
    assert numbers(failed) == [2, 3, 4, 5, 6, 7]


def test_what_is_weighed_on_it_after_the_failed_check_is_in_doubt_too(
    failed: Check, shop: Shop, cans: list[Container]
) -> None:
    weigh(cans[6], ticket_in(shop, "466"), at=NOON + timedelta(days=7), by=shop.dev)
    assert numbers(failed)[-1] == 8
    check(shop, "500", at=NOON + timedelta(days=8))
    weigh(cans[7], ticket_in(shop, "466"), at=NOON + timedelta(days=9), by=shop.dev)
    assert numbers(failed)[-1] == 8


def test_two_failed_checks_share_the_tickets_and_none_is_told_twice(
    failed: Check, shop: Shop, cans: list[Container]
) -> None:
    weigh(cans[6], ticket_in(shop, "466"), at=NOON + timedelta(days=7), by=shop.dev)
    second = check(shop, "503", at=NOON + timedelta(days=8))
    assert numbers(failed) == [2, 3, 4, 5, 6, 7]
    assert numbers(second) == [8]


def test_the_check_begins_with_the_known_weight_of_last_time(shop: Shop, dev: Client) -> None:
    page = dev.get(CHECK).content.decode()
    assert 'value="500 g weight"' in page
    assert 'value="500"' in page
    answer = send(
        dev, CHECK, on="2024-04-08", against="500 g weight", known="500", known_unit="g", shown="501"
    )
    assert "SC-1 passed: off by +1.0 g; one division is 1 g either way." in text(dev.get(answer["Location"]))


def test_a_check_that_fails_leads_to_its_tickets(
    failed: Check, shop: Shop, dev: Client, cans: list[Container]
) -> None:
    settle_doubt(failed, decided="sound", why="the zero had moved", at=NOON, by=shop.marta)
    weigh(cans[6], ticket_in(shop, "466"), at=NOON + timedelta(days=7), by=shop.dev)
    answer = send(
        dev, CHECK, on="2024-04-10", against="500 g weight", known="500", known_unit="g", shown="496"
    )
    page = text(dev.get(answer["Location"]))
    assert "SC-1 did not pass: off by −4.0 g; one division is 1 g either way." in page
    assert "Weigh tickets in doubt 1 of 1 container, on 0 jobs" in page


def test_the_page_says_how_many_of_what_and_that_differences_are_usually_sound(
    failed: Check, lee: Client
) -> None:
    page = text(lee.get(f"/equipment/checks/{failed.pk}/doubt/"))
    assert "Off by +4 g" in page
    assert "Weigh tickets in doubt 6 of 3 containers, on 1 job" in page
    assert "Its last good check was on Apr 3 2024." in page
    assert "Differences of two readings on the same scale are usually sound" in page
    # Hand-worked: 4 of 500
    assert "If it is off in proportion, every difference is off by 0.80 percent." in page


def test_the_tickets_are_marked_wherever_they_are_shown(failed: Check, dev: Client, lee: Client) -> None:
    assert "▲ Scale in doubt ± 4 g" in text(lee.get("/containers/K-0001/"))
    assert "Scale in doubt" not in text(lee.get("/containers/K-0006/"))
    assert "▲ Scale in doubt Tickets 4 (± 4 g), 5 (± 4 g), 6 (± 4 g), 7 (± 4 g)." in text(
        dev.get("/bay/J24-0001/")
    )
    rows = {row["ticket"]: row["scale_in_doubt_g"] for row in sheet(lee, "/sheets/weigh-tickets.csv")}
    assert (rows["1"], rows["2"], rows["7"]) == ("", "4", "4")


def test_an_open_jobs_tickets_are_marked_on_its_charge_page(
    failed: Check, shop: Shop, cans: list[Container], dev: Client
) -> None:
    bay = Bay.check_in(shop, plate="SMP-901", at=NOON + timedelta(days=7))
    bay.up_to_charge_again()
    bay.weigh(cans[6], "466", Moment.BEFORE)
    assert "Scale in doubt ± 4 g" in text(dev.get(f"/bay/{bay.job.number}/charge/"))


def test_the_owner_decides_and_the_mark_goes(failed: Check, marta: Client) -> None:
    assert "Its weigh tickets are in doubt until the owner decides." in text(marta.get("/"))
    address = f"/equipment/checks/{failed.pk}/doubt/"
    typed = {"decided": "sound", "why": "the zero had moved by 4 g; the pan stood on dirt"}
    answer = send(marta, f"{address}decide/", **typed)
    page = text(marta.get(answer["Location"]))
    assert "Decided They stand: the scale is off by the same everywhere" in page
    assert "the pan stood on dirt" in page
    assert "Scale in doubt" not in text(marta.get("/containers/K-0001/"))
    assert "SC-1 did not pass its check of" not in text(marta.get("/"))
    assert "Scale SC-1 did not pass its last check." in text(marta.get("/"))


def test_a_decision_needs_a_reason_and_is_made_once(failed: Check, shop: Shop, marta: Client) -> None:
    address = f"/equipment/checks/{failed.pk}/doubt/decide/"
    assert "Say in a few words why." in text(send(marta, address, decided="sound", why="x"))
    settle_doubt(failed, decided="sound", why="the zero had moved", at=NOON, by=shop.marta)
    with pytest.raises(Refused, match="decided already"):
        settle_doubt(failed, decided="known wrong", why="on second thoughts", at=NOON, by=shop.marta)
    assert DoubtSettled.objects.get().decided == "sound"


def test_a_good_check_puts_nothing_in_doubt(shop: Shop, cans: list[Container], lee: Client) -> None:
    good = check(shop, "501", at=NOON)
    assert doubts(shop.establishment) == []
    assert lee.get(f"/equipment/checks/{good.pk}/doubt/").status_code == 404
    with pytest.raises(Refused, match="no ticket in doubt"):
        settle_doubt(good, decided="sound", why="nothing wrong", at=NOON, by=shop.marta)


def test_another_shops_scale_is_nobodys_business(failed: Check, sign_on: SignOn) -> None:
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert stranger.get(f"/equipment/checks/{failed.pk}/doubt/").status_code == 404
    assert stranger.get(f"/equipment/checks/{failed.pk}/doubt/decide/").status_code == 404


def test_a_check_written_down_later_takes_the_whole_day_as_doubtful(
    shop: Shop, cans: list[Container]
) -> None:
    weigh(cans[0], ticket_in(shop, "466"), at=NOON + timedelta(hours=3), by=shop.dev)
    said = CheckIn(DAY, "500 g weight", known=reading("500"), shown=reading("504"))
    late = NOON + timedelta(days=2)
    written_later = log_check(shop.scale, said, today=late.date(), at=late, by=shop.dev)
    assert numbers(written_later) == [WeighTicket.objects.get().number]


def test_today_asks_for_the_check_by_the_shops_own_rule(shop: Shop, dev: Client) -> None:
    assert "Scale SC-1 was last checked Jan 8 2024. Check it with the known weight." in text(dev.get("/"))
    at = now()
    check(shop, "500", at=at - timedelta(days=20))
    assert "Check it with the known weight." not in text(dev.get("/"))
    today = timezone.localdate(at)
    rule = {"key": "scale_check_days", "value": "7", "basis": "it stands on the bay's bench"}
    change_rule(shop.establishment, **rule, from_day=today, today=today, at=at, by=shop.marta)
    assert "Check it with the known weight." in text(dev.get("/"))
