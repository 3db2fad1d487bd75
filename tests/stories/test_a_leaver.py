"""Dev leaves, with a card at a supplier and an open job: the pages, the paper and the work-day check."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from compliance.models import HandOver, SupplierNotice
from shop.models import Card, Person
from tests.compliance.office import copy_cards, photograph_card
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import DAY, PASSWORD, Shop, cans_of, receive
from tests.pages import said, send, text

pytestmark = pytest.mark.one_engine


@pytest.fixture
def leaving(shop: Shop, marta: Client) -> str:
    """A closed job and an open one of Dev's, the card at a supplier; Marta writes down that today is the last day."""
    cans = cans_of(receive(shop))
    Bay.check_in(shop).straight(cans[0], cans[1])
    Bay.check_in(shop, plate="SMP-999")
    photograph_card(shop, shop.dev)
    copy_cards(shop, shop.dev)
    page = reverse("people:leave", args=[shop.dev.pk])

    before = text(marta.get(page))
    assert "The 609 card stays on file because 1 job stands on it." in before
    assert "J24-0002 2014 sedan, blue" in before
    assert "Sample Parts Supply, SAMPLE-7741" in before
    answer = send(marta, page, last_day=timezone.localdate().isoformat(), access="night")
    assert said(marta.get(answer["Location"]))[0].startswith("Dev Larkin signs on up to the end")
    return page


def test_the_open_job_goes_into_other_hands_and_the_supplier_is_told(
    shop: Shop, leaving: str, marta: Client, lee: Client
) -> None:
    send(marta, reverse("people:hand-over", args=[shop.dev.pk]), to=str(shop.rosa.pk))
    assert HandOver.objects.get().to == shop.rosa
    assert "No open job is in their hands." in text(marta.get(leaving))
    assert "1 supplier holds Dev Larkin’s 609 card: notice ready to send." in text(marta.get("/"))

    notice = reverse("people:notice", args=[shop.dev.pk, shop.supplier.pk])
    letter = PdfReader(io.BytesIO(lee.get(f"{notice}pdf/").content)).pages[0].extract_text()
    assert "Dev Larkin does not work for us after" in " ".join(letter.split())
    send(lee, notice, on=timezone.localdate().isoformat(), how="by email")

    assert SupplierNotice.objects.get().how == "by email"
    assert "notice ready to send" not in text(marta.get("/"))


def test_the_sign_on_ends_that_night_and_a_new_password_lets_them_back_in(
    shop: Shop, leaving: str, marta: Client, dev: Client, sign_on: SignOn
) -> None:
    assert dev.get("/bay/").status_code == 200  # up to the end of the day

    yesterday = timezone.localdate() - timedelta(1)
    Person.objects.filter(pk=shop.dev.pk).update(leaves_on=yesterday)  # the night has come
    assert dev.get("/bay/").status_code == 302
    assert send(Client(), "/sign-on/", username="dev", password=PASSWORD).status_code == 200
    assert not Person.objects.get(pk=shop.dev.pk).is_active
    assert "Dev Larkin Technician, left" in text(marta.get("/people/"))

    send(marta, reverse("people:password", args=[shop.dev.pk]), password="green kettle morning")
    back = Person.objects.get(pk=shop.dev.pk)
    assert (back.is_active, back.leaves_on) == (True, None)
    assert sign_on(back).get("/bay/").status_code == 200


def test_everything_that_stood_on_the_card_still_stands(
    shop: Shop, leaving: str, marta: Client, lee: Client
) -> None:
    sheet = PdfReader(io.BytesIO(lee.get("/people/copies/CC24-01/pdf/").content))
    days = text(marta.get(f"/people/stages/?first={DAY}&last={DAY}"))

    assert "SAMPLE-7741" in sheet.pages[0].extract_text()
    assert "Dev Larkin" not in text(lee.get("/people/copies/new/"))
    assert "All 4 refrigerant stages on or after issue date." in days
    assert Card.objects.filter(person=shop.dev).count() == 1
    assert "Last day here:" in text(lee.get(reverse("people:page", args=[shop.dev.pk])))
