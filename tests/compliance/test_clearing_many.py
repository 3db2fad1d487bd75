"""A clearing of more jobs than one transaction takes: whoever is stopped in between goes on, and the book is whole."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.models import CheckIn, Clearing, Job, JobHold, PutAway
from compliance.queries.cleared import cleared_problems, still_to_go
from compliance.queries.whole_book import whole_book_findings
from compliance.services import clearing as clearing_services
from compliance.services import end_hold, go_on, place_hold
from shop.core.findings import Refused
from tests.compliance.clearing_work import DUE, NEXT, UNTIL, Owner, noon


@pytest.fixture
def clearing(owner: Owner, monkeypatch: pytest.MonkeyPatch) -> Clearing:
    """Two jobs, of which the first is put away and the second is still to go: the computer was switched off."""
    end_hold(Job.objects.get(number="J24-0002"), why="settled", at=noon(NEXT), by=owner.shop.marta)
    monkeypatch.setattr(clearing_services, "JOBS_AT_ONCE", 1)
    monkeypatch.setattr(clearing_services, "PAUSE_S", 0)
    return owner.put_away()


def customers() -> list[str]:
    return list(CheckIn.objects.order_by("pk").values_list("customer", flat=True))


def goes_on(clearing: Clearing, owner: Owner) -> None:
    go_on(clearing, at=noon(UNTIL), by=owner.shop.marta)


def test_stopped_in_between_the_book_is_whole_and_nothing_is_cleared(
    owner: Owner, clearing: Clearing
) -> None:
    assert customers() == ["(cleared)", "Tobin Marsh"]
    assert whole_book_findings() == []
    with pytest.raises(Refused, match="let it go on"):
        owner.clear(clearing)
    goes_on(clearing, owner)
    assert customers() == ["(cleared)", "(cleared)"]
    assert whole_book_findings() == []
    assert owner.clear(clearing).jobs == 2
    assert (whole_book_findings(), PutAway.objects.count()) == ([], 0)


def test_an_undo_that_was_stopped_goes_on(owner: Owner, clearing: Clearing) -> None:
    goes_on(clearing, owner)
    owner.undo(clearing, UNTIL)
    assert customers() == ["Ines Calloway", "(cleared)"]
    assert whole_book_findings() == []
    first, second = Job.objects.order_by("pk")
    assert cleared_problems(first) == []
    assert [one.code for one in cleared_problems(second)] == ["job-put-away"]
    goes_on(clearing, owner)
    assert customers() == ["Ines Calloway", "Tobin Marsh"]
    assert (whole_book_findings(), PutAway.objects.count()) == ([], 0)


def test_a_hold_brings_back_at_once_what_an_undo_had_not_got_to(owner: Owner, clearing: Clearing) -> None:
    goes_on(clearing, owner)
    owner.undo(clearing, UNTIL)
    place_hold(Job.objects.get(number="J24-0002"), why="again", at=noon(UNTIL), by=owner.shop.lee)
    assert customers() == ["Ines Calloway", "Tobin Marsh"]
    assert JobHold.objects.filter(why="again").exists()
    assert whole_book_findings() == []


def test_a_hold_in_between_keeps_what_had_not_gone(owner: Owner, clearing: Clearing) -> None:
    place_hold(Job.objects.get(number="J24-0002"), why="again", at=noon(UNTIL), by=owner.shop.lee)
    assert not still_to_go(clearing).exists()
    assert owner.clear(clearing, DUE).jobs == 1
    assert customers() == ["(cleared)", "Tobin Marsh"]
    assert whole_book_findings() == []


def test_nobody_but_the_owner_lets_it_go_on(owner: Owner, clearing: Clearing) -> None:
    with pytest.raises(Refused, match="Only the owner"):
        go_on(clearing, at=noon(UNTIL), by=owner.shop.lee)
    assert customers() == ["(cleared)", "Tobin Marsh"]


def test_the_page_says_that_it_is_not_finished_and_goes_on(clearing: Clearing, marta: Client) -> None:
    page = f"/records/old/clearings/{clearing.pk}/"
    assert "The details of 1 job are still to be put away." in marta.get(page).content.decode()
    assert marta.post(page).status_code == 302
    assert customers() == ["(cleared)", "(cleared)"]
    assert "still to be put away" not in marta.get(page).content.decode()
