"""609 cards: the work-day check at its boundaries, copies that were promised, images, the sheet for a supplier."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from compliance.core.stages import LeakResult
from compliance.models import CardCopy, UncertifiedWork
from compliance.queries.attention import asking
from compliance.queries.card_copies import buyers_on, holdings
from compliance.queries.people import doers, work_days
from compliance.services import LeakCheckIn, record_leak_check
from compliance.services.card_copies import card_copy_pdf, notice_pdf
from inventory.models import Container
from shop.core.findings import Refused
from shop.models import Card, CardImage, Person
from shop.queries import work_day
from shop.services import (
    CardIn,
    add_card,
    add_card_image,
    end_authorisation,
    end_buyer,
    mark_unreadable,
    name_buyer,
)
from shop.services.papers import read_file
from tests.compliance.office import PDF, copy_cards, hire, leave, photograph_card, tell
from tests.compliance.pictures import opened, picture_of
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop
from tests.pages import errors, send, text

ONE = timedelta(1)


def page_of(person: Person) -> str:
    return reverse("people:page", args=[person.pk])


@pytest.mark.parametrize(
    ("issued_on", "may"), [(DAY, True), (DAY + ONE, False)], ids=["issued that day", "issued the day after"]
)
def test_a_stage_is_signed_from_the_issue_day_on(shop: Shop, issued_on: date, may: bool) -> None:
    """40 CFR 82.34(a)(2), rule card B1: issued 2026-06-10, job 2026-06-10 is right; job 2026-06-09 is an error."""
    hire(shop, shop.lee, issued_on, issued_on, at=NOON + ONE)
    bay = Bay.check_in(shop, by=shop.lee)

    if may:
        bay.recover()
    else:
        with pytest.raises(Refused, match="was issued Apr 3 2024, after Apr 2 2024"):
            bay.recover()


@pytest.mark.parametrize(("last_day", "may"), [(DAY, True), (DAY - ONE, False)])
def test_a_stage_is_signed_up_to_the_end_of_the_authorisation(shop: Shop, last_day: date, may: bool) -> None:
    """Rule card B1: a step outside the stretch from authorised_from to authorised_to is an error."""
    end_authorisation(
        shop.dev.authorisations.get(), last_day=last_day, may_sign_on=True, at=NOON, by=shop.marta
    )
    dev = Person.objects.get(pk=shop.dev.pk)
    bay = Bay.check_in(shop, by=dev)

    if may:
        bay.recover()
    else:
        with pytest.raises(Refused, match="was not authorised"):
            bay.recover()


def test_a_card_that_was_only_seen_carries_up_to_its_day_and_again_with_the_copy(shop: Shop) -> None:
    card = hire(shop, shop.lee, date(2023, 5, 1), DAY, copy_due=DAY + ONE)
    due, late = DAY + ONE, DAY + 2 * ONE

    assert work_day(shop.lee, due).in_force
    (finding,) = work_day(shop.lee, late).findings
    assert (finding.code, finding.basis) == ("copy-overdue", "Shop rule")
    assert "was to follow by Apr 3 2024 and is not in" in finding.message

    image = add_card_image(card, read_file(PDF), at=NOON, by=shop.lee)
    assert work_day(shop.lee, late).in_force

    mark_unreadable(image, why="the number is cut off", at=NOON, by=shop.lee)
    assert not work_day(shop.lee, late).in_force


@pytest.mark.parametrize(("days", "may"), [(0, True), (14, True), (15, False), (-1, False)])
def test_a_copy_follows_within_the_days_of_the_shops_own_rule(shop: Shop, days: int, may: bool) -> None:
    seen = CardIn("Sample Program", "SAMPLE-1", date(2023, 5, 1), "Lee Okonma", copy_due=DAY + days * ONE)

    if may:
        assert add_card(shop.lee, seen, today=DAY, at=NOON, by=shop.marta).copy_to_follow.due == DAY + (
            days * ONE
        )
    else:
        with pytest.raises(Refused, match="follows within 14 days"):
            add_card(shop.lee, seen, today=DAY, at=NOON, by=shop.marta)
        assert not Card.objects.filter(number="SAMPLE-1").exists()


def test_only_the_owner_says_that_they_have_seen_a_card(shop: Shop) -> None:
    seen = CardIn("Sample Program", "SAMPLE-1", date(2023, 5, 1), "Lee Okonma", copy_due=DAY)

    with pytest.raises(Refused, match="Only the owner"):
        add_card(shop.lee, seen, today=DAY, at=NOON, by=shop.dev)


def test_a_card_without_a_copy_is_shown_and_blocks_nothing(shop: Shop, lee: Client) -> None:
    assert work_day(shop.dev, DAY).in_force
    assert "Copy ▲ None" in text(lee.get(page_of(shop.dev)))


def test_a_photo_is_drawn_anew_and_a_pdf_is_handed_out(shop: Shop, lee: Client) -> None:
    photo = photograph_card(shop, shop.dev)
    pdf = add_card_image(photo.card, read_file(PDF), at=NOON, by=shop.lee)

    assert not opened(bytes(photo.content)).getexif()
    shown = lee.get(reverse("people:card-image", args=[shop.dev.pk, photo.pk]))
    given = lee.get(reverse("people:card-image", args=[shop.dev.pk, pdf.pk]))
    assert shown.headers["Content-Disposition"].startswith("inline")
    assert given.headers["Content-Disposition"].startswith("attachment")
    assert given.content == PDF


def test_a_retake_keeps_the_first_one(shop: Shop, lee: Client) -> None:
    first = photograph_card(shop, shop.dev)
    wrong = send(lee, reverse("people:unreadable", args=[shop.dev.pk, first.pk]), why="")
    send(lee, reverse("people:unreadable", args=[shop.dev.pk, first.pk]), why="glare over the number")
    retake = SimpleUploadedFile("card.jpg", picture_of("sharper"))
    send(lee, reverse("people:new-image", args=[shop.dev.pk, first.card_id]), paper=retake)
    page = text(lee.get(page_of(shop.dev)))

    assert errors(wrong, "why")
    assert CardImage.objects.filter(card=first.card).count() == 2
    assert "Not readable glare over the number" in page
    assert "Copy ■ On file" in page


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [(b"%PDF-1.4 half of it", "did not come in whole"), (b"MZ\x90 a program", "neither a PDF nor a photo")],
)
def test_what_is_no_card_is_refused_on_its_field(shop: Shop, lee: Client, sent: bytes, sentence: str) -> None:
    card = shop.dev.cards.get()
    file = SimpleUploadedFile("card.pdf", sent)

    answer = send(lee, reverse("people:new-image", args=[shop.dev.pk, card.pk]), paper=file)

    assert sentence in errors(answer, "paper")[0]
    assert not CardImage.objects.exists()


def test_the_name_on_the_card_and_what_else_is_printed_are_said(shop: Shop, marta: Client) -> None:
    typed = {"program": "Sample Program", "number": "S-1", "issued_on": "2020-02-01"}
    printed = {"name_on_card": "Devon Larkin-Reyes", "translator_assisted": "on"}
    send(marta, reverse("people:card", args=[shop.dev.pk]), **typed, **printed)
    page = text(marta.get(page_of(shop.dev)))

    assert "Devon Larkin-Reyes ▲ Differs from Dev Larkin" in page
    assert "translator assisted" in page


# --- Every stage ever signed


def test_every_stage_is_held_against_the_card_of_its_day(
    shop: Shop, bay: Bay, cans: list[Container], marta: Client
) -> None:
    bay.straight(cans[0], cans[1])
    sums = work_days(shop.establishment, DAY, DAY)
    page = text(marta.get("/people/stages/?first=2024-04-02&last=2024-04-02"))

    assert (sums.stages, sums.covered, sums.doers, sums.cards) == (4, 4, 1, 1)
    assert "All 4 refrigerant stages on or after issue date." in page
    assert f"Apr 2 2024 {bay.job.number} Charge Dev Larkin SAMPLE-7741 , issued Mar 12 2019" in page
    (dev,) = [one for one in doers(shop.establishment, DAY) if one.person == shop.dev]
    assert (dev.jobs, dev.stages, dev.first, dev.last) == (1, 4, bay.job, bay.job)


def test_days_outside_the_period_are_left_out(shop: Shop, bay: Bay) -> None:
    bay.recover()

    assert work_days(shop.establishment, DAY - ONE, DAY - ONE).stages == 0
    assert work_days(shop.establishment, DAY + ONE, DAY + ONE).stages == 0


def test_stages_on_both_sides_of_the_last_day_are_told_apart(
    shop: Shop, bay: Bay, cans: list[Container]
) -> None:
    """The recovery ends a minute before midnight on Dev's last day, the leak check is signed five minutes later."""
    bay.clock = datetime(2024, 4, 3, 5, 34, tzinfo=UTC)  # 23:34 in the shop
    bay.recover()
    bay.leak_check()
    end_authorisation(
        shop.dev.authorisations.get(), last_day=DAY, may_sign_on=True, at=bay.later(), by=shop.marta
    )

    sums = work_days(shop.establishment, DAY, DAY + ONE)

    assert (sums.stages, sums.lacking, sums.doers, sums.cards) == (2, 1, 1, 1)
    assert [(one.stage.kind, one.day) for one in sums.without] == [("leak-check", DAY + ONE)]
    assert work_days(shop.establishment, DAY, DAY).lacking == 0


def test_work_by_somebody_without_a_card_stays_in_sight(shop: Shop, bay: Bay, marta: Client) -> None:
    check = LeakCheckIn(("eyes",), ("hoses",), LeakResult.NONE_SEEN)
    record_leak_check(bay.job, check, uncertified="Sam Ortega", at=bay.later(), by=shop.dev)
    assert UncertifiedWork.objects.count() == 1
    page = text(marta.get("/people/stages/?first=2024-04-02&last=2024-04-02"))

    assert "0 of 1 refrigerant stages were done on or after the issue date" in page
    assert "Sam Ortega, written down by Dev Larkin none" in page
    assert "Done by somebody without a 609 card." in page


def test_a_card_added_late_covers_what_its_issue_day_covers_and_says_so(
    shop: Shop, bay: Bay, marta: Client
) -> None:
    """Edge: the card was put on file after the work. Its issue day decides, and both days stay in sight."""
    hire(shop, shop.lee, DAY - ONE, DAY, at=NOON + 30 * ONE)
    bay.by = shop.lee
    bay.recover()

    page = text(marta.get("/people/stages/?first=2024-04-02&last=2024-04-02"))

    assert "put on file May 2 2024, after the work" in page
    assert work_days(shop.establishment, DAY, DAY).without == ()


def test_a_copy_that_never_came_is_found_afterwards(shop: Shop, bay: Bay, marta: Client) -> None:
    """The stage was signed while the promise ran; the day after it, the same hands may not go on."""
    hire(shop, shop.lee, date(2023, 5, 1), DAY, copy_due=DAY)
    bay.by = shop.lee
    bay.recover()
    assert work_days(shop.establishment, DAY, DAY).without == ()

    bay.clock += ONE
    with pytest.raises(Refused, match="was to follow by Apr 2 2024"):
        bay.leak_check()
    said = " ".join(one.text for one in asking(shop.establishment, DAY + ONE, shop.marta))
    assert "The copy of Lee Okonma’s 609 card was due Apr 2: no refrigerant work until it is in." in said


def test_more_stages_ask_the_database_no_more_often(
    shop: Shop, bay: Bay, cans: list[Container], marta: Client
) -> None:
    def asked(address: str) -> int:
        with CaptureQueriesContext(connection) as seen:
            assert marta.get(address).status_code == 200
        return len(seen)

    addresses = ("/people/stages/?first=2024-01-01&last=2024-12-31", "/people/")
    bay.recover()
    before = [asked(address) for address in addresses]
    bay.leak_check()
    bay.evacuate()
    other = Bay.check_in(shop, by=shop.rosa, plate="SMP-999", at=bay.clock)
    other.recover("7966", "8000")
    photograph_card(shop, shop.rosa)

    assert [asked(address) for address in addresses] == before
    assert max(before) <= 30, before


# --- A sheet for a supplier


def words_of(copy: CardCopy) -> str:
    pages = PdfReader(io.BytesIO(card_copy_pdf(copy))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_sheet_has_the_card_its_photo_and_who_may_buy_and_nothing_else(shop: Shop, bay: Bay) -> None:
    bay.recover()
    photograph_card(shop, shop.dev)
    name_buyer(shop.lee, first_day=DAY, at=NOON, by=shop.marta)
    copy = copy_cards(shop, shop.dev)
    said = words_of(copy)
    (image,) = PdfReader(io.BytesIO(card_copy_pdf(copy))).pages[0].images

    for word in ("SAMPLE-7741", "Mar 12 2019", "Sample Certification Program", "Lee Okonma", "Sample Parts"):
        assert word in said
    for word in ("$", "Rosa", "SAMPLE-8120", bay.job.number, "Ines", "R-134a", "expir", "scales"):
        assert word not in said
    assert image.image is not None
    assert image.image.size == (640, 480)
    assert card_copy_pdf(copy) == card_copy_pdf(copy)


def test_who_bought_later_is_not_on_an_older_sheet(shop: Shop) -> None:
    buyer = name_buyer(shop.lee, first_day=DAY, at=NOON, by=shop.marta)
    old = copy_cards(shop, shop.dev)
    end_buyer(buyer, last_day=DAY, at=NOON, by=shop.marta)
    name_buyer(shop.dev, first_day=DAY + ONE, at=NOON, by=shop.marta)

    assert words_of(old).count("Lee Okonma") == 2  # on the list, and under the sheet that Lee made
    assert [one.name for one in buyers_on(shop.establishment, DAY)] == ["Lee Okonma"]
    assert [one.name for one in buyers_on(shop.establishment, DAY + ONE)] == ["Dev Larkin"]


def test_the_card_of_a_leaver_is_not_sent_as_current_proof(shop: Shop, lee: Client) -> None:
    leave(shop, shop.dev)

    with pytest.raises(Refused, match="Dev Larkin has left or is leaving"):
        copy_cards(shop, shop.dev)
    assert "Dev Larkin" not in text(lee.get("/people/copies/new/"))
    assert not CardCopy.objects.exists()


def test_a_card_that_is_not_in_force_is_not_sent(shop: Shop) -> None:
    with pytest.raises(Refused, match="No 609 card of Lee Okonma"):
        copy_cards(shop, shop.lee)


def test_who_holds_which_card_since_when_stands_on_one_page(shop: Shop, lee: Client) -> None:
    copy_cards(shop, shop.dev, shop.rosa)
    copy_cards(shop, shop.dev, on=DAY + ONE)
    page = text(lee.get("/people/copies/"))

    assert "Sample Parts Supply: Dev Larkin , SAMPLE-7741 , Apr 2 2024 , Apr 3 2024" in page
    assert "Sample Parts Supply: Rosa Tamayo , SAMPLE-8120 , Apr 2 2024" in page


def test_a_notice_holds_until_the_card_is_given_again(shop: Shop) -> None:
    copy_cards(shop, shop.dev)
    with pytest.raises(Refused, match="still works here"):
        tell(shop, shop.dev)

    leave(shop, shop.dev)
    assert [one.to_tell for one in holdings(shop.establishment)] == [True]
    gone = Person.objects.get(pk=shop.dev.pk)
    letter = notice_pdf(gone, shop.supplier, on=DAY, at=NOON, by=shop.lee)
    said = PdfReader(io.BytesIO(letter)).pages[0].extract_text()
    assert "NOTICE: 609 CARD NO LONGER IN USE HERE" in said
    assert "no number" not in said  # it never gets one
    tell(shop, Person.objects.get(pk=shop.dev.pk))
    assert [one.to_tell for one in holdings(shop.establishment)] == [False]


@pytest.mark.parametrize("who", ["dev", "rosa"])
def test_a_technician_opens_no_image_of_a_card(shop: Shop, request: Any, who: str) -> None:
    photo = photograph_card(shop, shop.dev)
    client = request.getfixturevalue(who)

    assert client.get(reverse("people:card-image", args=[shop.dev.pk, photo.pk])).status_code == 403


def test_the_owner_names_who_buys_and_who_signs_on_their_pages(shop: Shop, marta: Client) -> None:
    send(marta, reverse("people:buyer", args=[shop.lee.pk]), first_day="2024-04-02")
    send(marta, reverse("people:officer", args=[shop.lee.pk]), title="Office manager", first_day="2024-04-02")
    page = text(marta.get(page_of(shop.lee)))
    again = send(marta, reverse("people:buyer", args=[shop.lee.pk]), first_day="2024-04-03")

    assert "Buys for the shop Apr 2 2024 – now Take off the list" in page
    assert "Office manager, responsible officer from Apr 2 2024" in page
    assert "Lee Okonma is on the list since Apr 2 2024." in errors(again, "first_day")

    send(marta, reverse("people:end-buyer", args=[shop.lee.pk]), last_day="2024-04-05")

    assert "Buys for the shop Apr 2 2024 – Apr 5 2024" in text(marta.get(page_of(shop.lee)))


def test_a_new_owner_is_somebody_who_signs_on_as_one(shop: Shop, marta: Client) -> None:
    wrong = send(marta, "/people/owner/", owner=str(shop.dev.pk), on="2024-04-02")
    future = send(marta, "/people/owner/", owner=str(shop.marta.pk), on="2999-01-01")
    right = send(marta, "/people/owner/", owner=str(shop.marta.pk), on="2024-04-02")

    assert errors(wrong, "owner")
    assert errors(future, "on") == ["That day has not come yet."]
    assert right["Location"] == "/statements/"
    assert "Marta Quill is the owner since Apr 2 2024 and has signed no statement." in text(
        marta.get("/statements/")
    )
