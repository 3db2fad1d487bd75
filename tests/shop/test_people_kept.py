"""People and cards, as the services see them: nothing half-written."""

from __future__ import annotations

from datetime import date

import pytest

from shop.core.findings import Refused
from shop.models import AuditNote, Authorisation, AuthorisationEnd, Person
from shop.services import (
    CardIn,
    PersonIn,
    add_card,
    add_person,
    authorise_person,
    end_authorisation,
)
from tests.factories import DAY, NOON, PASSWORD, Shop

NEW = {"name": "Ana Reyes", "role": "technician", "username": "ana", "password": PASSWORD}


def person_in(**changed: str) -> PersonIn:
    return PersonIn(**{**NEW, **changed})


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"name": " "}, "name-empty"),
        ({"role": "boss"}, "role-unknown"),
        ({"username": "lee"}, "username-taken"),
        ({"password": "password12"}, "password-weak"),
        ({"password": "ana reyes"}, "password-weak"),
    ],
)
def test_a_person_is_refused_whole(shop: Shop, changed: dict[str, str], code: str) -> None:
    with pytest.raises(Refused) as refused:
        add_person(person_in(**changed), shop.establishment, at=NOON, by=shop.marta)

    assert code in [finding.code for finding in refused.value.findings]
    assert Person.objects.count() == 4
    assert not AuditNote.objects.filter(about="person ana").exists()


def test_all_that_is_wrong_is_said_at_once(shop: Shop) -> None:
    with pytest.raises(Refused) as refused:
        add_person(PersonIn("", "lee", "boss", "x"), shop.establishment, at=NOON, by=shop.marta)

    codes = [finding.code for finding in refused.value.findings]
    assert codes == ["name-empty", "role-unknown", "username-taken", "password-weak"]


def test_a_password_is_never_kept_as_typed(shop: Shop) -> None:
    ana = add_person(person_in(), shop.establishment, at=NOON, by=shop.marta)

    assert PASSWORD not in ana.password
    assert ana.check_password(PASSWORD)


def test_a_card_of_another_program_may_have_the_same_number(shop: Shop) -> None:
    card = CardIn("Other Sample Program", "SAMPLE-7741", date(2020, 1, 1), "Rosa Tamayo")

    assert add_card(shop.rosa, card, today=DAY, at=NOON, by=shop.marta).number == "SAMPLE-7741"


def test_an_authorisation_that_ended_does_not_start_again_on_its_own_first_day(shop: Shop) -> None:
    running = shop.dev.authorisations.get()
    end_authorisation(running, last_day=date(2024, 2, 1), may_sign_on=True, at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="Pick another first day"):
        authorise_person(shop.dev, first_day=date(2021, 1, 4), at=NOON, by=shop.marta)
    again = authorise_person(shop.dev, first_day=date(2024, 3, 1), at=NOON, by=shop.marta)

    assert Authorisation.objects.filter(person=shop.dev).count() == 2
    assert again.first_day == date(2024, 3, 1)


def test_an_authorisation_ends_once(shop: Shop) -> None:
    running = shop.dev.authorisations.get()
    end_authorisation(running, last_day=DAY, may_sign_on=True, at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="already ended"):
        end_authorisation(running, last_day=DAY, may_sign_on=True, at=NOON, by=shop.marta)
    assert AuthorisationEnd.objects.count() == 1


def test_the_last_owner_is_not_locked_out(shop: Shop) -> None:
    add_card(
        shop.marta, CardIn("P", "M-1", date(2020, 1, 1), "Marta Quill"), today=DAY, at=NOON, by=shop.marta
    )
    running = authorise_person(shop.marta, first_day=DAY, at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="only owner"):
        end_authorisation(running, last_day=DAY, may_sign_on=False, at=NOON, by=shop.marta)
    assert Person.objects.get(pk=shop.marta.pk).is_active
