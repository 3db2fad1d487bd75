"""Clearing old records: three steps on three days, thirty days to undo, and nothing of the book with it.

40 CFR 82.42(b)(4) asks for three years at least; the boundary days are those of that rule.
"""

from __future__ import annotations

import io
import zipfile
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection, models
from django.test import Client

from compliance.models import (
    CheckIn,
    Clearing,
    ClearingDone,
    ClearingLeftOut,
    Closing,
    Document,
    Draft,
    Job,
    Photo,
    PutAway,
    Stage,
    Tombstone,
)
from compliance.queries.whole_book import whole_book_findings
from compliance.records import CLEARABLE
from compliance.services import confirm_clearing
from compliance.sheets.whole import whole_shop, write_zip
from inventory.models import Container, ImportDraft, Movement, WeighTicket
from shop.core.findings import Refused
from shop.models import News, ProgramAnswer
from shop.services import ListenerIn, add_listener
from tests.compliance.clearing_work import (
    AFTER,
    DUE,
    LAST,
    NEXT,
    PHONE,
    PRIVATE,
    UNTIL,
    Owner,
    another_owner,
    archive_on,
    noon,
    old_job,
)
from tests.conftest import Keep
from tests.factories import NOON, Shop, cans_of, receive
from tests.pages import text


@pytest.fixture(scope="module")
def once(keep: Keep, shop_of_all: Shop) -> None:
    def make() -> None:
        cans: list[Container] = cans_of(receive(shop_of_all))
        told = ListenerIn("Bookkeeping", "http://127.0.0.1:9/", ("job_closed",))
        add_listener(told, shop_of_all.establishment, at=NOON, by=shop_of_all.marta)
        old_job(shop_of_all, cans[0], cans[1])

    keep(make)


@pytest.fixture
def owner(once: None, shop: Shop) -> Owner:
    """A shop with one closed job, and its owner."""
    return Owner(shop)


def everything() -> dict[str, list[Any]]:
    """Every row of every table that clearing may touch."""
    found = {}
    for one in CLEARABLE:
        fields = [field.attname for field in one.model._meta.concrete_fields]
        rows = one.model._default_manager.order_by("pk").values_list(*fields)
        found[one.label] = [
            tuple(bytes(part) if isinstance(part, memoryview) else part for part in row) for row in rows
        ]
    return found


def words_of(model: type[models.Model]) -> str:
    return " ".join(str(row) for row in model._default_manager.values_list())


def test_what_is_put_away_is_off_every_row_and_the_book_is_whole(owner: Owner) -> None:
    owner.put_away()
    told = str(everything())
    assert [one for one in PRIVATE if one in told] == []
    assert {bytes(one.jpeg) for one in Photo.objects.all()} == {b""}
    assert [bytes(one.pdf) for one in Document.objects.all()] == [b"", b""]
    assert whole_book_findings() == []


def test_programs_and_exports_see_it_gone_too(owner: Owner, lee: Client) -> None:
    typed = {"note": "for Ms Calloway"}
    job, by = Job.objects.get(), owner.shop.dev
    Draft.objects.create(job=job, kind="recovery", typed=typed, saved_at=noon(AFTER), by=by)
    whole = list(lee.get("/api/papers/").json()["results"])
    clearing = owner.put_away()
    got = lee.get("/api/papers/C24-0001/2/").json()
    assert (got["cleared"], got["facts"]["car"]["customer"]) == (True, "(cleared)")
    assert lee.get("/api/papers/").json()["results"] == whole
    file = io.BytesIO()
    write_zip(whole_shop(owner.shop.establishment, noon(NEXT)), file)
    with zipfile.ZipFile(file) as held:
        files = {name: held.read(name) for name in held.namelist()}
    assert [name for name in files if name.startswith(("papers/C", "photos/J"))] == []
    told = b"".join(data for name, data in files.items() if not name.endswith(".pdf")).decode()
    assert [one for one in PRIVATE if one in told] == []
    owner.clear(clearing)
    assert Draft.objects.count() == 0


def test_answers_and_files_of_before_go_with_the_details(owner: Owner) -> None:
    """A program wrote after the owner asked; a list of cars was looked at and never brought in."""
    shop = owner.shop
    clearing = owner.ask(archive_on(shop))
    told = {"once": "a", "by": shop.lee, "asked_sha256": "0" * 64, "status": 201}
    ProgramAnswer.objects.create(**told, body="for Ms Calloway")
    ImportDraft.objects.create(
        establishment=shop.establishment, by=shop.lee, what="vehicles", file_name="cars.csv",
        content=b"SMP-417", sha256="0" * 64, made_at=noon(AFTER),
    )  # fmt: skip
    owner.confirm(clearing)
    owner.clear(clearing)
    assert (ProgramAnswer.objects.count(), ImportDraft.objects.count()) == (0, 0)


def naming() -> dict[str, set[str]]:
    """Every table of the database with the private words in it, in whatever column, as text or as bytes."""
    found: dict[str, set[str]] = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            cells = [cell for row in cursor for cell in row if isinstance(cell, str | bytes | memoryview)]
            texts = (cell if isinstance(cell, str) else bytes(cell).decode("latin-1") for cell in cells)
            held = "\n".join(texts).upper()
            if words := {word for word in (*PRIVATE, "CALL0WAY") if word.upper() in held}:
                found[table] = words
    return found


def test_no_table_of_the_database_names_the_customer_any_more(owner: Owner) -> None:
    """Find keeps an O as 0. The words are in more than twenty tables before; news for other programs never had them."""
    before = naming()
    assert {"compliance_checkin", "compliance_label", "shop_vehicle", "shop_searchtail"} <= before.keys()
    assert before["compliance_checkin"] >= {"Calloway", "SMP-417", PHONE}
    assert News.objects.exists()
    assert "shop_news" not in before
    clearing = owner.put_away()
    assert naming().keys() == {"compliance_putaway"}
    owner.clear(clearing)
    assert naming() == {}


def test_an_undo_brings_every_byte_back(owner: Owner) -> None:
    before = everything()
    clearing = owner.put_away()
    assert everything() != before
    owner.undo(clearing, UNTIL)
    assert everything() == before
    assert PutAway.objects.count() == 0
    assert whole_book_findings() == []


def test_cleared_is_gone_and_the_book_stays_whole(owner: Owner) -> None:
    moved = list(Movement.objects.order_by("pk").values_list())
    weighed = list(WeighTicket.objects.order_by("pk").values_list())
    worked = list(Stage.objects.order_by("pk").values_list("kind", "by", "at", "outcome"))
    papers = list(Document.objects.order_by("pk").values_list("number", "facts_sha256", "pdf_sha256"))
    owner.clear(owner.put_away())
    assert PutAway.objects.count() == 0
    assert list(Movement.objects.order_by("pk").values_list()) == moved
    assert list(WeighTicket.objects.order_by("pk").values_list()) == weighed
    assert list(Stage.objects.order_by("pk").values_list("kind", "by", "at", "outcome")) == worked
    assert list(Document.objects.order_by("pk").values_list("number", "facts_sha256", "pdf_sha256")) == papers
    assert '"vehicle_ug":503000000' in Closing.objects.get().facts
    assert [one for one in PRIVATE if one in str(everything()) + words_of(Tombstone)] == []
    assert whole_book_findings() == []


@pytest.mark.parametrize(("day", "may"), [(LAST, False), (AFTER, True)])
def test_a_job_is_asked_about_on_the_day_after_its_last_and_not_before(
    owner: Owner, day: date, may: bool
) -> None:
    archive = archive_on(owner.shop, AFTER)
    if may:
        assert [one.job.number for one in owner.ask(archive, day).jobs.all()] == ["J24-0001"]
        return
    with pytest.raises(Refused, match="No job of this archive may be cleared"):
        owner.ask(archive, day)
    assert Clearing.objects.count() == 0


def test_who_asked_does_not_confirm_on_the_same_day_and_another_owner_does(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    with pytest.raises(Refused, match="Confirm it a whole day later"):
        owner.confirm(clearing, AFTER)
    assert CheckIn.objects.get().customer == "Ines Calloway"
    owner.confirm(clearing, AFTER, by=another_owner(owner.shop))
    assert CheckIn.objects.get().customer == "(cleared)"


def test_confirming_is_offered_to_who_asked_from_the_same_hour_of_the_next_day(
    owner: Owner, marta: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    page = f"/records/old/clearings/{clearing.pk}/"
    clock = "compliance.views.clearing.now"
    monkeypatch.setattr(clock, lambda: noon(NEXT) - timedelta(minutes=1))
    for address in (page, f"{page}confirm/"):
        assert "you can confirm it from" in text(marta.get(address))
        assert '<button class="main"' not in marta.get(address).content.decode()
    assert f"{page}confirm/" not in marta.get(page).content.decode()
    monkeypatch.setattr(clock, lambda: noon(NEXT))
    assert f"{page}confirm/" in marta.get(page).content.decode()
    assert "1 customer's link opens nothing any more" in text(marta.get(f"{page}confirm/"))


def test_the_next_day_is_not_yet_a_whole_day(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    early = noon(NEXT) - timedelta(minutes=1)
    with pytest.raises(Refused, match="a whole day later"):
        confirm_clearing(clearing, today=NEXT, at=early, by=owner.shop.marta)
    assert owner.confirm(clearing, NEXT).jobs == 1


def test_day_thirty_brings_back_and_day_thirty_one_does_not(owner: Owner) -> None:
    clearing = owner.put_away()
    with pytest.raises(Refused, match="days to bring it back ended"):
        owner.undo(clearing, DUE)
    with pytest.raises(Refused, match="Clear them after that day"):
        owner.clear(clearing, UNTIL)
    assert PutAway.objects.exists()
    owner.undo(clearing, UNTIL)
    with pytest.raises(Refused, match="is over"):
        owner.clear(clearing, DUE)
    assert ClearingDone.objects.count() == 0


def test_nobody_but_the_owner_takes_a_step(owner: Owner) -> None:
    archive = archive_on(owner.shop)
    clearing = owner.ask(archive)
    for person in (owner.shop.lee, owner.shop.dev):
        for step in (
            lambda who=person: owner.confirm(clearing, by=who),
            lambda who=person: owner.undo(clearing, NEXT, by=who),
            lambda who=person: owner.clear(clearing, by=who),
        ):
            with pytest.raises(Refused, match="Only the owner"):
                step()
    owner.undo(clearing, NEXT)
    with pytest.raises(Refused, match="Only the owner"):
        owner.ask(archive, by=owner.shop.lee)


def test_another_hash_is_not_the_archive(owner: Owner) -> None:
    archive = archive_on(owner.shop)
    for wrong in ("0" * 64, archive.manifest_sha256, archive.sha256[:63], " "):
        with pytest.raises(Refused, match="SHA-256"):
            owner.ask(archive, sha256=wrong)
    assert (Clearing.objects.count(), ClearingLeftOut.objects.count()) == (0, 0)
    spaced = f" {archive.sha256[:32].upper()} {archive.sha256[32:]} "
    assert owner.ask(archive, sha256=spaced).how == "typed"


def test_a_called_off_request_changes_nothing(owner: Owner) -> None:
    before = everything()
    clearing = owner.ask(archive_on(owner.shop))
    owner.undo(clearing, NEXT)
    with pytest.raises(Refused, match="waits for no confirmation"):
        owner.confirm(clearing, NEXT)
    assert everything() == before
    assert Job.objects.get().number == "J24-0001"
