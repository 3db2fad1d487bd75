"""Holds: what a dispute stands on is kept, and every correction after it is seen to be one."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.models import Closing, Document, JobHoldEnd
from compliance.queries.holds import on_hold
from compliance.services import Change, correct_job, end_hold, place_hold
from inventory.models import Container
from shop.core.findings import Refused
from tests.compliance.work import Bay
from tests.factories import Shop
from tests.pages import send, text

INSURER = "the insurer writes that it was overcharged"


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    bay.photograph()
    return bay.straight(cans[0], cans[1])


def test_a_hold_keeps_the_job_and_all_it_stands_on(bay: Bay, closed: Closing, cans: list[Container]) -> None:
    shop = bay.shop
    things = [
        closed.job,
        shop.dev,
        shop.dev.cards.get(),
        cans[0],
        shop.rc02,
        shop.scale,
        shop.equipment["RE-1"],
    ]
    things += [shop.equipment["VP-1"], shop.equipment["LD-1"]]
    things += [Document.objects.get(), cans[0].tickets.all()[0], bay.job.photos.get()]
    assert not any(on_hold(one) for one in things)
    place_hold(closed.job, why=INSURER, at=bay.later(), by=shop.lee)
    assert [str(one) for one in things if not on_hold(one)] == []
    assert not any(on_hold(one) for one in (cans[5], shop.rosa))
    end_hold(closed.job, why="settled", at=bay.later(), by=shop.marta)
    assert not any(on_hold(one) for one in things)


def test_only_the_owner_ends_a_hold_and_says_why(bay: Bay, closed: Closing) -> None:
    place_hold(closed.job, why=INSURER, at=bay.later(), by=bay.shop.dev)
    with pytest.raises(Refused, match=r"Only the owner ends a hold\. Say why"):
        end_hold(closed.job, why="", at=bay.later(), by=bay.shop.dev)
    assert not JobHoldEnd.objects.exists()


def test_a_job_is_on_hold_once(bay: Bay, closed: Closing) -> None:
    place_hold(closed.job, why=INSURER, at=bay.later(), by=bay.shop.dev)
    with pytest.raises(Refused, match="on hold already"):
        place_hold(closed.job, why=INSURER, at=bay.later(), by=bay.shop.lee)


def test_a_correction_after_the_hold_says_so_on_slip_job_and_paper(
    bay: Bay, closed: Closing, marta: Client
) -> None:
    place_hold(closed.job, why=INSURER, at=bay.later(), by=bay.shop.lee)
    change = Change("check-in-1-odometer", "", "118402")
    moment = bay.later()
    slip = correct_job(closed.job, [change], why="left out", on=moment.date(), at=moment, by=bay.shop.marta)
    assert "Signed after this job was put on hold" in text(marta.get(f"/corrections/{slip.number}/"))
    assert "after the hold" in text(marta.get("/bay/J24-0001/"))
    assert "CS24-0001 was signed after this job was put on hold" in text(marta.get("/papers/C24-0001/2/"))


def test_the_pages_place_and_end_it(shop: Shop, closed: Closing, lee: Client, marta: Client) -> None:
    assert send(lee, "/holds/J24-0001/new/", why=INSURER).status_code == 302
    assert INSURER in text(lee.get("/holds/"))
    assert "On hold" in text(lee.get("/bay/J24-0001/"))
    assert lee.get("/holds/J24-0001/end/").status_code == 403
    assert send(marta, "/holds/J24-0001/end/", why="settled").status_code == 302
    assert "settled" in text(marta.get("/holds/"))
