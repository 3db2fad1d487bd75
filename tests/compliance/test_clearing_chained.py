"""The chain holds a clearing: whatever somebody with a database shell changes of it afterwards, ``verify`` names."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection, models

from compliance.models import Clearing, ClearingConfirmed, ClearingDone, Closing, Document
from compliance.queries.whole_book import whole_book_findings
from compliance.services.chain import add_link
from shop.core.canonical import sha256
from shop.records import drop_guards, install_guards
from tests.compliance.clearing_work import DUE, Owner, noon
from tests.conftest import Keep
from tests.factories import Shop


@pytest.fixture(scope="module")
def cleared(keep: Keep, two_old_jobs: None, shop_of_all: Shop) -> None:
    """J24-0001 was cleared, and nobody meddled yet."""

    def make() -> None:
        owner = Owner(shop_of_all)
        owner.clear(owner.put_away())
        assert codes() == set()

    keep(make)


def codes() -> set[str]:
    return {one.code for one in whole_book_findings()}


def findings_after(*meddling: tuple[str, tuple[Any, ...]]) -> set[str]:
    drop_guards()
    with connection.cursor() as cursor:
        for sql, values in meddling:
            cursor.execute(sql, values or None)
            assert cursor.rowcount > 0, sql
    install_guards()
    return codes()


ONE = "WHERE id = (SELECT max(id) FROM compliance_tombstone)"
OTHER_JOB = "(SELECT id FROM compliance_job WHERE number = 'J24-0002')"
OTHER_PERSON = "(SELECT id FROM shop_person WHERE username = 'dev')"
MEDDLING = [
    f"UPDATE compliance_tombstone SET sealed = stays_sha256 {ONE}",
    f"UPDATE compliance_tombstone SET stays_sha256 = sealed {ONE}",
    f"UPDATE compliance_tombstone SET of_row = of_row + 1000 {ONE}",
    f"UPDATE compliance_tombstone SET of_column = 'colour' {ONE}",
    f"UPDATE compliance_tombstone SET of_table = 'shop_person' {ONE}",
    f"UPDATE compliance_tombstone SET job_id = {OTHER_JOB} {ONE}",
    f"DELETE FROM compliance_tombstone {ONE}",
    "DELETE FROM compliance_tombstone WHERE of_column = 'vin'",
    "DELETE FROM compliance_tombstone",
    f"UPDATE compliance_clearingjob SET job_id = {OTHER_JOB}",
    "UPDATE compliance_package SET sha256 = manifest_sha256",
    f"UPDATE compliance_clearing SET by_id = {OTHER_PERSON}",
    f"UPDATE compliance_clearingconfirmed SET by_id = {OTHER_PERSON}",
    "UPDATE compliance_clearingconfirmed SET undo_until = '2025-05-05'",
    f"UPDATE compliance_clearingdone SET by_id = {OTHER_PERSON}",
    "UPDATE compliance_clearing SET \"on\" = '2027-04-02'",
    "UPDATE compliance_clearingconfirmed SET \"on\" = '2027-04-03'",
    "UPDATE compliance_clearingdone SET \"on\" = '2027-06-03'",
]


@pytest.mark.parametrize("sql", MEDDLING)
def test_what_was_cleared_is_what_the_chain_holds(cleared: None, shop: Shop, sql: str) -> None:
    assert "clearing-changed" in findings_after((sql, ()))


@pytest.mark.parametrize(("step", "seconds"), [(Clearing, -1), (ClearingConfirmed, 1), (ClearingDone, 1)])
def test_a_moment_a_second_off_is_named(
    cleared: None, shop: Shop, step: type[models.Model], seconds: int
) -> None:
    """All days fit each other, so nothing else would tell."""
    row: Any = step._default_manager.get()
    at = row.at + timedelta(seconds=seconds)
    assert findings_after((f"UPDATE {step._meta.db_table} SET at = %s", (at,))) == {"clearing-changed"}


@pytest.mark.parametrize(
    ("model", "was", "now"), [(Document, "44 °F", "34 °F"), (Closing, '"R-134a"', '"R-12"')]
)
def test_facts_and_their_tombstone_changed_alike_are_named(
    cleared: None, shop: Shop, model: type[Document] | type[Closing], was: str, now: str
) -> None:
    """A reading in the facts that are left; the book knows nothing of it."""
    row = model._default_manager.filter(pk__gt=0).order_by("pk")[0]
    facts, table = row.facts.replace(was, now), model._meta.db_table
    assert facts != row.facts
    stone = "SET stays_sha256 = %s WHERE of_table = %s AND of_row = %s AND of_column = 'facts'"
    found = findings_after(
        (f"UPDATE {table} SET facts = %s WHERE id = %s", (facts, row.pk)),
        (f"UPDATE compliance_tombstone {stone}", (sha256(facts), table, row.pk)),
    )
    assert found == {"clearing-changed"}


def test_links_that_are_missing_are_named(cleared: None, shop: Shop) -> None:
    newest = ("DELETE FROM compliance_link WHERE id = (SELECT max(id) FROM compliance_link)", ())
    assert findings_after(newest) == {"clearing-unchained"}
    assert findings_after(newest) == {"clearing-unchained"}


@pytest.mark.parametrize("body", ['{"clearing":{"number":[]}}', '{"clearing":'])
def test_a_link_for_no_clearing_is_named(cleared: None, shop: Shop, body: str) -> None:
    add_link(shop.establishment, body, at=noon(DUE), by=shop.marta)
    assert codes() == {"clearing-changed"}


def test_a_later_link_of_an_earlier_day_is_named(cleared: None, shop: Shop) -> None:
    """The steps were dated ahead, to be past their thirty days at once."""
    add_link(shop.establishment, "{}", at=noon(DUE - timedelta(days=1)), by=shop.marta)
    assert codes() == {"clearing-misdated"}
