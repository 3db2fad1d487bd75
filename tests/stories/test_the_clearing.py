"""Old records are cleared: three years on, by the owner alone, through the pages, with a hold in between, to the end
where ``verify`` names what is gone and finds the book whole."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from compliance.models import CheckIn, Clearing, Closing, CustomerLink, Document, Package, Photo
from inventory.models import Container
from tests.compliance.clearing_work import AFTER, DUE, NEXT, PRIVATE, VIN, noon, old_job
from tests.compliance.sheets.reading import body
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import Shop, cans_of, receive
from tests.pages import text
from tests.stories.desk import Desk

pytestmark = pytest.mark.one_engine

Clock = Callable[[datetime], None]


@pytest.fixture
def clock(settings: Any) -> Clock:
    """Set the shop's clock."""

    def on(moment: datetime) -> None:
        settings.PRACTICE_OFFSET = moment - timezone.now()

    return on


@pytest.fixture
def two_jobs(shop: Shop) -> Closing:
    """Ms Calloway's job, and another customer's on the same day."""
    cans: list[Container] = cans_of(receive(shop))
    first = old_job(shop, cans[0], cans[1])
    other = Bay.check_in(shop, plate="SMP-999", customer="Tobin Marsh", at=first.at + timedelta(hours=1))
    other.up_to_charge_again()
    other.draw(cans[1], "293", "128", emptied=True)
    other.draw(cans[2], "466", "122")
    other.keep_charge()
    other.finals()
    other.close()
    return first


def verified() -> str:
    out = io.StringIO()
    call_command("verify", stdout=out)
    return out.getvalue()


def private_on(*pages: str) -> list[str]:
    """What names Ms Calloway on these pages. Both cars blow warm."""
    return [one for one in PRIVATE for page in pages if one in page and one != "blows warm"]


def pages_of(desk: Desk) -> list[str]:
    """Where the customer of J24-0001 would stand."""
    addresses = (
        *("/bay/J24-0001/", "/papers/", "/papers/C24-0001/1/", "/papers/C24-0001/2/", "/corrections/"),
        *("/sheets/jobs.csv", "/sheets/work.csv", "/sheets/corrections.csv", "/sheets/photos.csv", "/holds/"),
        *("/find/?q=Calloway", f"/find/?q={VIN}", "/find/?q=SMP-417", "/bay/"),
    )
    found = [desk.client.get(address, follow=True) for address in addresses]
    assert [one.status_code for one in found] == [200] * len(found)
    asked = "/find/?q="
    told = [body(one).decode().replace('value="', "") for one in found]
    return [
        page if not address.startswith(asked) else page.replace(address.removeprefix(asked), "")
        for address, page in zip(addresses, told, strict=True)
    ]


def archived(marta: Desk) -> tuple[Package, bytes]:
    file = body(marta.client.post("/records/old/archive/"))
    return Package.objects.get(), file


def asked_with_the_file(marta: Desk, made: Package, archive: bytes) -> str:
    """Marta shows the archive, after two slips. The address of the clearing."""
    address = f"/records/old/clear/{made.pk}/"
    page = marta.client.get(address)
    assert "2 jobs" in text(page)
    assert "J24-0001" in text(page)
    assert "This is not the archive" in marta.send(address, page, sha256="0" * 64)[1]
    wrong = {"file": SimpleUploadedFile("old.zip", archive + b" "), "once": "a"}
    assert "This file is not the archive" in text(marta.client.post(address, wrong))
    right = {"file": SimpleUploadedFile("old.zip", archive), "once": "b"}
    assert marta.client.post(address, right).status_code == 302
    clearing = Clearing.objects.get()
    assert clearing.how == "file"
    return f"/records/old/clearings/{clearing.pk}/"


def test_two_jobs_are_asked_about_one_is_held_and_the_other_cleared(
    shop: Shop, two_jobs: Closing, sign_on: SignOn, clock: Clock, client: Client
) -> None:
    clock(noon(AFTER))
    marta, dev, lee = Desk(sign_on(shop.marta)), Desk(sign_on(shop.dev)), Desk(sign_on(shop.lee))
    link = f"/c/{CustomerLink.objects.get().token}/"
    assert client.get(link).status_code == 200
    address = asked_with_the_file(marta, *archived(marta))
    assert "asked to clear old records" in marta.read("/")
    assert "asked to clear" not in dev.read("/")
    assert "Ines Calloway" in body(marta.client.get("/sheets/corrections.csv")).decode()
    assert_too_soon(marta, f"{address}confirm/")

    clock(noon(NEXT) + timedelta(hours=1))
    assert "Tick that you know about the backups" in marta.press(f"{address}confirm/")[1]
    done = marta.do(f"{address}confirm/", copies="on")
    assert "The details of 2 jobs are put away." in marta.read(done)
    assert private_on(*pages_of(marta), *pages_of(dev)) == []
    assert client.get(link).status_code == 404
    is_checked(client, "This paper was put away on")
    assert "put away, not cleared yet" in verified()

    lee.do("/holds/J24-0002/new/", why="the insurer of Mr Marsh wrote")
    assert "Tobin Marsh" in body(lee.client.get("/sheets/jobs.csv")).decode()
    assert "it was put on hold" in marta.read(address)
    assert "can be brought back until" in marta.read(f"{address}clear/")

    clock(noon(DUE))
    assert "may be cleared now" in marta.read("/")
    done = marta.do(f"{address}clear/", for_good="on")
    assert "The details of 1 job are cleared for good." in marta.read(done)
    assert private_on(*pages_of(marta), *pages_of(dev)) == []
    assert "This paper was cleared on" in marta.read("/papers/C24-0001/2/")
    is_checked(client, "This paper was cleared on")
    assert marta.client.get(f"{address}undo/").status_code == 302
    it_is_gone_and_said()


def it_is_gone_and_said() -> None:
    assert [one.customer for one in CheckIn.objects.order_by("pk")] == ["(cleared)", "Tobin Marsh"]
    assert {bytes(one.jpeg) for one in Photo.objects.all()} == {b""}
    told = verified()
    assert "Cleared after its time: J24-0001" in told
    assert "J24-0002: " not in told
    assert "The book is whole." in told


def is_checked(client: Client, sentence: str) -> None:
    """What the QR of the paper leads to says it, with the hash that was signed, and names nobody."""
    page = text(client.get("/check/C24-0001/2/"))
    assert sentence in page
    assert Document.objects.get(number="C24-0001", version=2).pdf_sha256 in page
    assert private_on(page) == []


def test_the_owner_brings_everything_back_from_the_page(
    shop: Shop, two_jobs: Closing, sign_on: SignOn, clock: Clock
) -> None:
    clock(noon(AFTER))
    marta = Desk(sign_on(shop.marta))
    before = pages_of(marta)
    made, _file = archived(marta)
    marta.do(f"/records/old/clear/{made.pk}/", sha256=made.sha256)
    clock(noon(NEXT) + timedelta(hours=1))
    address = f"/records/old/clearings/{Clearing.objects.get().pk}/"
    marta.do(f"{address}confirm/", copies="on")
    assert pages_of(marta) != before
    marta.do(f"{address}undo/", why="a buyer asked for the history")
    clock(noon(AFTER))
    assert private_on(*pages_of(marta)) == private_on(*before)
    assert "Brought back" in marta.read(address)
    assert "The book is whole." in verified()


def test_nobody_else_finds_the_way(shop: Shop, two_jobs: Closing, sign_on: SignOn, clock: Clock) -> None:
    clock(noon(AFTER))
    made, _file = archived(Desk(sign_on(shop.marta)))
    for person in (shop.lee, shop.dev):
        desk = sign_on(person)
        assert desk.get(f"/records/old/clear/{made.pk}/").status_code == 403
        said = {"sha256": made.sha256, "once": "x"}
        assert desk.post(f"/records/old/clear/{made.pk}/", said).status_code == 403
        assert "/records/old/" not in desk.get("/records/").content.decode()
    assert Clearing.objects.count() == 0


# Denver put the clock back on November 7, 2027: 01:59 MDT was followed by 01:00 MST (15 U.S.C. 260a).
ASKED = datetime(2027, 11, 6, 16, 0, tzinfo=UTC)  # 10:00 MDT
NOT_A_DAY = datetime(2027, 11, 7, 15, 59, tzinfo=UTC)  # 08:59 MST, 23 h 59 min later
A_DAY = datetime(2027, 11, 7, 16, 5, tzinfo=UTC)  # 09:05 MST
LAST_MINUTE = datetime(2027, 12, 8, 6, 58, tzinfo=UTC)  # 23:58 MST on December 7, the thirtieth day
TOO_LATE = datetime(2027, 12, 8, 7, 0, tzinfo=UTC)  # midnight


def assert_too_soon(desk: Desk, address: str) -> None:
    """The page says from when and has no button yet; who sends it all the same is refused."""
    page = desk.read(address)
    assert "You asked for this yourself: you can confirm it from" in page
    assert "Another owner can at once." in page
    assert text(desk.client.post(address, {"copies": "on"})) == page
    assert Clearing.objects.filter(confirmed=None).exists()


@pytest.mark.parametrize(("moment", "back"), [(LAST_MINUTE, True), (TOO_LATE, False)])
def test_a_day_is_24_hours_and_the_thirtieth_ends_at_midnight_in_the_shop(
    shop: Shop, two_jobs: Closing, sign_on: SignOn, clock: Clock, moment: datetime, back: bool
) -> None:
    clock(ASKED)
    marta = Desk(sign_on(shop.marta))
    made, _file = archived(marta)
    marta.read(
        marta.do(f"/records/old/clear/{made.pk}/", sha256=made.sha256)
    )  # what it says now is not said again below
    address = f"/records/old/clearings/{Clearing.objects.get().pk}/"
    clock(NOT_A_DAY)
    assert_too_soon(marta, f"{address}confirm/")
    clock(A_DAY)
    marta.do(f"{address}confirm/", copies="on")
    clock(moment)
    answer, said = marta.press(f"{address}undo/", why="an insurer wrote")
    assert (answer.status_code == 302) is back
    assert back or "days to bring it back ended" in said
    if not back:
        marta.do(f"{address}clear/", for_good="on")
    assert CheckIn.objects.order_by("pk")[0].customer == ("Ines Calloway" if back else "(cleared)")


def test_a_pin_is_not_enough(
    shop: Shop, two_jobs: Closing, clock: Clock, client: Client, sign_on: SignOn
) -> None:
    clock(noon(AFTER))
    made, _file = archived(Desk(sign_on(shop.marta)))
    client.force_login(shop.marta, backend="shop.backends.PinBackend")
    answer = client.post(f"/records/old/clear/{made.pk}/", {"sha256": made.sha256, "once": "x"}, follow=True)
    assert "Sign on with your password first" in text(answer)
    assert Clearing.objects.count() == 0
