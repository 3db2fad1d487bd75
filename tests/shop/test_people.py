"""Cards: the people of the shop, their 609 cards and authorisations."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.models import AuditNote, Card, Person
from shop.queries import work_day
from tests.conftest import SignOn
from tests.factories import DAY, PASSWORD, Shop
from tests.pages import errors, said, send, text

NEW = {"name": "Ana Reyes", "role": "technician", "username": "ana", "password": PASSWORD}
CARD = {
    "program": "Sample Certification Program",
    "number": "SAMPLE-9001",
    "issued_on": "2023-02-01",
    "name_on_card": "Ana Reyes",
}


def page_of(person: Person) -> str:
    return reverse("people:page", args=[person.pk])


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_sees_whose_card_is_in_force(shop: Shop, sign_on: SignOn, who: str) -> None:
    page = text(sign_on(getattr(shop, who)).get("/people/"))

    assert "SAMPLE-7741 , issued Mar 12 2019" in page
    assert page.count("In force, authorised") == 2
    assert "Does none" in page


@pytest.mark.parametrize("who", ["lee", "dev"])
@pytest.mark.parametrize("name", ["new", "card", "authorise", "end", "leave", "password"])
def test_only_the_owner_changes_people(shop: Shop, sign_on: SignOn, who: str, name: str) -> None:
    url = reverse("people:new") if name == "new" else reverse(f"people:{name}", args=[shop.dev.pk])
    client = sign_on(getattr(shop, who))

    assert client.get(url).status_code == 403
    assert send(client, url).status_code == 403


def test_the_front_office_is_not_shown_what_only_the_owner_may_do(
    shop: Shop, lee: Client, marta: Client
) -> None:
    assert "Add a card" not in text(lee.get(page_of(shop.dev)))
    assert "Add a card" in text(marta.get(page_of(shop.dev)))


def test_a_card_answers_for_a_day(shop: Shop, marta: Client) -> None:
    yes = text(marta.get(page_of(shop.rosa), {"day": "2024-05-06"}))
    no = text(marta.get(page_of(shop.rosa), {"day": "2022-05-05"}))

    assert "Rosa Tamayo held Section 609 proof of certification SAMPLE-8120" in yes
    assert "was issued May 6 2022, after May 5 2022" in no


def test_a_day_that_is_no_day_says_so_on_its_field(shop: Shop, marta: Client) -> None:
    response = marta.get(page_of(shop.rosa), {"day": "yesterday"})

    assert errors(response, "day") == ["Type the day as year-month-day, for example 2026-04-02."]


def test_no_page_asks_for_a_last_day_of_a_card(shop: Shop, marta: Client) -> None:
    page = text(marta.get(reverse("people:card", args=[shop.dev.pk]))).lower()

    assert "expir" not in page
    assert "no last day" in page


def test_somebody_of_another_shop_is_not_there(shop: Shop, marta: Client) -> None:
    from tests.factories import make_establishment, make_owner

    other = make_owner(make_establishment("Sample Garage"), "Otto Binder")

    assert marta.get(page_of(other)).status_code == 404
    assert "Otto" not in text(marta.get("/people/"))


def test_the_owner_lets_somebody_in_with_card_and_first_day(shop: Shop, marta: Client) -> None:
    ana_page = send(marta, "/people/new/", **NEW)["Location"]
    ana = Person.objects.get(username="ana")
    assert said(marta.get(ana_page)) == ["Ana Reyes may sign on as ana."]
    assert AuditNote.objects.filter(about="person ana", now="Ana Reyes, technician").exists()

    send(marta, reverse("people:card", args=[ana.pk]), **CARD)
    send(marta, reverse("people:authorise", args=[ana.pk]), first_day="2024-03-01")

    assert work_day(ana, DAY).in_force
    assert not work_day(ana, date(2024, 2, 29)).in_force


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("name", "", "This field is required."),
        ("name", "   ", "This field is required."),
        ("name", "x" * 81, "Ensure this value has at most 80 characters (it has 81)."),
        ("role", "", "This field is required."),
        ("role", "boss", "Select a valid choice. boss is not one of the available choices."),
        ("username", "Ana Reyes", "Use small letters, digits, dots and dashes; begin with a letter."),
        ("username", "dev", "The sign-on name dev is taken. Choose another."),
        ("password", "short", "This password is too short. It must contain at least 10 characters."),
        ("password", "", "This field is required."),
    ],
)
def test_what_is_wrong_with_somebody_new_stands_on_its_field(
    shop: Shop, marta: Client, field: str, value: str, sentence: str
) -> None:
    response = send(marta, "/people/new/", **{**NEW, field: value})

    assert sentence in " ".join(errors(response, field))
    assert not Person.objects.filter(name__startswith="Ana").exists()
    assert PASSWORD not in response.content.decode()


def test_the_same_form_sent_twice_lets_one_person_in(shop: Shop, marta: Client) -> None:
    first = send(marta, "/people/new/", once="same", **NEW)
    second = send(marta, "/people/new/", once="same", **NEW)

    assert first["Location"] == second["Location"]
    assert said(marta.get(second["Location"]))[-1].endswith("; nothing was written twice.")
    assert Person.objects.filter(name="Ana Reyes").count() == 1


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("number", "SAMPLE-8120", "on file for Rosa Tamayo"),
        ("number", "sample-8120", "on file for Rosa Tamayo"),
        ("number", "", "required"),
        ("program", "", "required"),
        ("name_on_card", "", "required"),
        ("issued_on", "", "Pick the day."),
        ("issued_on", "soon", "Type the day"),
        ("issued_on", "1990-11-14", "Section 609 dates from November 15, 1990"),
        ("issued_on", "0024-02-01", "Type all four digits of the year"),
    ],
)
def test_what_is_wrong_with_a_card_stands_on_its_field(
    shop: Shop, marta: Client, field: str, value: str, sentence: str
) -> None:
    response = send(marta, reverse("people:card", args=[shop.dev.pk]), **{**CARD, field: value})

    assert sentence in " ".join(errors(response, field))
    assert Card.objects.count() == 2


def test_a_card_of_tomorrow_is_refused(shop: Shop, marta: Client) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()
    response = send(marta, reverse("people:card", args=[shop.dev.pk]), **{**CARD, "issued_on": tomorrow})

    assert errors(response, "issued_on") == ["The issue day has not come yet. Read the card again."]


def test_nobody_is_authorised_without_a_card(shop: Shop, marta: Client) -> None:
    response = send(marta, reverse("people:authorise", args=[shop.lee.pk]), first_day="2024-03-01")

    assert errors(response, "first_day") == [
        "Lee Okonma has no 609 card issued by that day. Add the card first."
    ]


def test_nobody_is_authorised_twice_at_once(shop: Shop, marta: Client) -> None:
    response = send(marta, reverse("people:authorise", args=[shop.dev.pk]), first_day="2024-03-01")

    assert errors(response, "first_day") == ["Dev Larkin is authorised since Jan 4 2021; nothing to add."]


def test_a_leaver_keeps_every_card_and_loses_the_sign_on(shop: Shop, marta: Client, dev: Client) -> None:
    end = reverse("people:end", args=[shop.dev.pk])
    page = text(marta.get(send(marta, end, last_day="2024-05-31")["Location"]))

    assert "From Jan 4 2021 to May 31 2024" in page
    assert "SAMPLE-7741" in page
    assert "Sign-on ended" in page
    assert dev.get("/cabinet/").status_code == 302
    assert work_day(shop.dev, date(2024, 5, 31)).in_force
    assert not work_day(Person.objects.get(pk=shop.dev.pk), date(2024, 6, 1)).in_force
    assert marta.get(end).status_code == 404


def test_an_authorisation_does_not_end_before_it_began(shop: Shop, marta: Client) -> None:
    response = send(marta, reverse("people:end", args=[shop.dev.pk]), last_day="2021-01-03")

    assert errors(response, "last_day") == ["The last day is before the first day."]
    assert Person.objects.get(pk=shop.dev.pk).is_active


def test_somebody_who_forgot_the_password_gets_a_new_one(shop: Shop, marta: Client, dev: Client) -> None:
    new = "green kettle morning"
    page = marta.get(send(marta, reverse("people:password", args=[shop.dev.pk]), password=new)["Location"])

    assert said(page) == ["Dev Larkin signs on with the new password from now on."]
    assert dev.get("/cabinet/").status_code == 302
    assert send(Client(), "/sign-on/", username="dev", password=new).status_code == 302
    assert new not in "".join(AuditNote.objects.values_list("now", flat=True))


@pytest.mark.parametrize("weak", ["", "short", "password12", "dev larkin"])
def test_a_weak_new_password_is_refused_on_its_field(shop: Shop, marta: Client, weak: str) -> None:
    assert errors(send(marta, reverse("people:password", args=[shop.dev.pk]), password=weak), "password")
    assert Person.objects.get(pk=shop.dev.pk).check_password(PASSWORD)


def test_a_leaver_from_the_front_office_no_longer_signs_on_and_may_come_back(
    shop: Shop, marta: Client, lee: Client
) -> None:
    send(marta, reverse("people:leave", args=[shop.lee.pk]), last_day="2024-05-31", access="now")
    assert lee.get("/cabinet/").status_code == 302
    assert "Front office, left" in text(marta.get("/people/"))

    send(marta, reverse("people:password", args=[shop.lee.pk]), password="green kettle morning")

    assert Person.objects.get(pk=shop.lee.pk).is_active


def test_the_only_owner_does_not_leave(shop: Shop, marta: Client) -> None:
    said_no = send(marta, reverse("people:leave", args=[shop.marta.pk]), last_day="2024-05-31", access="now")

    assert "only owner" in errors(said_no, "last_day")[0]
    assert Person.objects.get(pk=shop.marta.pk).is_active
