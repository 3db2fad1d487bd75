"""``verify`` knows every tombstone: it names what was cleared and finds what somebody with a database shell changed."""

from __future__ import annotations

import pytest
from django.db import connection

from compliance.models import Clearing, PutAway, Tombstone
from compliance.queries.buried import cleared_told
from compliance.queries.whole_book import whole_book_findings
from shop.records import drop_guards, install_guards
from tests.compliance.clearing_work import Owner, old_job
from tests.conftest import Keep
from tests.factories import Shop, cans_of, receive


@pytest.fixture(scope="module")
def once(keep: Keep, shop_of_all: Shop) -> None:
    def make() -> None:
        cans = cans_of(receive(shop_of_all))
        old_job(shop_of_all, cans[0], cans[1])
        Owner(shop_of_all).put_away()

    keep(make)


@pytest.fixture
def owner(once: None, shop: Shop) -> Owner:
    """The details of one job are put away."""
    return Owner(shop)


def findings_after(meddling: str) -> set[str]:
    drop_guards()
    with connection.cursor() as cursor:
        cursor.execute(meddling)
    install_guards()
    return {one.code for one in whole_book_findings()}


ALWAYS = [
    ("UPDATE compliance_checkin SET customer = 'Otis Vale'", "cleared-changed"),
    ("UPDATE compliance_checkin SET customer = 'Ines Calloway'", "cleared-changed"),
    ("UPDATE compliance_document SET facts = replace(facts, '503', '500')", "cleared-changed"),
    ("UPDATE compliance_closing SET facts = replace(facts, '503', '500')", "cleared-changed"),
    ("UPDATE compliance_document SET facts_sha256 = pdf_sha256", "paper-unchained"),
    ("UPDATE compliance_checkin SET odometer = '(cleared)', elsewhere = '(cleared)'", "cleared-by-nobody"),
    ("UPDATE compliance_clearingconfirmed SET undo_until = '2027-04-10'", "clearing-too-soon"),
    ("DELETE FROM compliance_tombstone WHERE of_column = 'zzz'", ""),
    ("DELETE FROM compliance_clearingconfirmed", "clearing-unconfirmed"),
    ("UPDATE compliance_link SET body = body || ' ' WHERE place = 1", "link-changed"),
]
PUT_AWAY = [
    ("UPDATE compliance_putaway SET content = stays", "put-away-changed"),
    ("DELETE FROM compliance_putaway", "put-away-missing"),
    ("UPDATE compliance_putaway SET salt = 'x'", "put-away-changed"),
]


@pytest.mark.parametrize(("meddling", "code"), [*ALWAYS, *PUT_AWAY])
def test_it_finds_what_was_changed_while_the_details_are_put_away(
    owner: Owner, meddling: str, code: str
) -> None:
    assert whole_book_findings() == []
    found = findings_after(meddling)
    assert code in found if code else found == set()


@pytest.mark.parametrize(("meddling", "code"), ALWAYS)
def test_it_finds_what_was_changed_after_they_were_cleared(owner: Owner, meddling: str, code: str) -> None:
    owner.clear(Clearing.objects.get())
    assert whole_book_findings() == []
    found = findings_after(meddling)
    assert code in found if code else found == set()


def test_a_lost_tombstone_leaves_what_it_stood_over_unexplained(owner: Owner) -> None:
    drop_guards()
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM compliance_putaway")
        cursor.execute("DELETE FROM compliance_tombstone")
    install_guards()
    codes = {one.code for one in whole_book_findings()}
    assert {"facts-changed", "pdf-changed", "photo-changed", "closing-changed", "slip-changed"} <= codes
    assert "cleared-by-nobody" in codes


def test_a_lost_vin_is_named_while_it_is_put_away(owner: Owner) -> None:
    """Nothing stands where it stood, so no mark tells."""
    stone = Tombstone.objects.get(of_column="vin")
    drop_guards()
    PutAway.objects.filter(tombstone=stone).delete()
    stone.delete()
    install_guards()
    assert {one.code for one in whole_book_findings()} == {"clearing-changed"}


def test_it_names_what_was_cleared(owner: Owner) -> None:
    clearing = Clearing.objects.get()
    assert cleared_told()[0].startswith(f"J24-0001: put away, not cleared yet, clearing {clearing.pk}: ")
    owner.clear(clearing)
    told = cleared_told()
    assert len(told) == 1
    assert told[0].startswith(f"J24-0001: cleared {clearing.done.on}, clearing {clearing.pk}: ")
    for part in ("4 of checkin", "3 of vehicle", "4 of photo", "1 of customerlink"):
        assert part in told[0]
