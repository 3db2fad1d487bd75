"""Old records: past their time on the day after their last day, kept by holds and newer work, put in archives."""

from __future__ import annotations

import hashlib
import io
import zipfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from compliance.core.old import Old, OldKind
from compliance.models import Archived, Closing, Package
from compliance.queries.attention import asking, worth_a_reminder
from compliance.queries.old_records import old_records
from compliance.services import (
    PackChoiceIn,
    choose_keeping,
    choose_packs,
    end_hold,
    make_archive,
    place_hold,
)
from compliance.sheets.whole import MANIFEST
from compliance.sheets.writing import into_zip
from inventory.models import Container
from shop.core.findings import Refused
from shop.services import change_rule, end_authorisation
from tests.compliance.sheets.reading import body
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop

LAST = date(DAY.year + 3, DAY.month, DAY.day)
AFTER = LAST + timedelta(1)


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    bay.photograph()
    return bay.straight(cans[0], cans[1])


def of(shop: Shop, kind: OldKind, day: date = AFTER) -> list[Old]:
    return [one for one in old_records(shop.establishment, day) if one.kind == kind]


def archive_of(shop: Shop, day: date = AFTER) -> tuple[Package, dict[str, bytes]]:
    file = io.BytesIO()
    made = make_archive(shop.establishment, into_zip(file), today=day, at=NOON, by=shop.marta)
    assert hashlib.sha256(file.getvalue()).hexdigest() == made.sha256
    with zipfile.ZipFile(file) as held:
        return made, {name: held.read(name) for name in held.namelist()}


def test_a_job_is_past_its_time_on_the_day_after_its_last_day(shop: Shop, closed: Closing) -> None:
    assert of(shop, OldKind.JOB, LAST) == []
    job = of(shop, OldKind.JOB)[0]
    assert (job.key, job.anchor, job.last_day, job.is_free) == ("J24-0001", DAY, LAST, True)


def test_the_longest_rule_wins_be_it_the_shops_or_a_states(shop: Shop, closed: Closing) -> None:
    rule = {"key": "keep_years", "value": "7", "basis": "our accountant"}
    change_rule(shop.establishment, **rule, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    assert of(shop, OldKind.JOB) == []
    assert len(of(shop, OldKind.JOB, date(DAY.year + 7, DAY.month, DAY.day + 1))) == 1


def test_a_state_is_named_as_the_one_who_asks(shop: Shop, closed: Closing, marta: Client) -> None:
    california = PackChoiceIn("CA", (), DAY)
    choose_packs(shop.establishment, california, today=DAY, at=NOON, by=shop.marta)
    assert "16 CCR 3358" in marta.get("/records/old/").content.decode()


def test_a_hold_keeps_a_job_and_its_end_frees_it(shop: Shop, closed: Closing) -> None:
    place_hold(closed.job, why="an insurer wrote", at=NOON, by=shop.lee)
    held = of(shop, OldKind.JOB)[0]
    assert (held.held, held.is_free) == (True, False)
    end_hold(closed.job, why="settled", at=NOON, by=shop.marta)
    assert of(shop, OldKind.JOB)[0].is_free


def test_a_card_that_a_kept_job_stands_on_is_still_needed(shop: Shop, closed: Closing) -> None:
    running = shop.dev.authorisations.get()
    end_authorisation(running, last_day=DAY, may_sign_on=True, at=NOON, by=shop.marta)
    card = of(shop, OldKind.CARD)[0]
    assert (card.key, card.anchor, card.needed_by) == ("SAMPLE-7741", DAY, "")
    place_hold(closed.job, why="an insurer wrote", at=NOON, by=shop.lee)
    card = of(shop, OldKind.CARD)[0]
    assert card.held  # a hold reaches the card itself
    assert not card.is_free
    end_hold(closed.job, why="settled", at=NOON, by=shop.marta)
    Bay.check_in(shop, plate="SMP-999").recover()
    assert "J24-0002 stands on it" in of(shop, OldKind.CARD)[0].needed_by


def test_a_card_whose_bearer_is_authorised_has_no_last_day(shop: Shop, closed: Closing) -> None:
    assert of(shop, OldKind.CARD, date(2090, 1, 1)) == []


def test_a_delivery_is_needed_while_a_can_of_it_is_in_the_cabinet(shop: Shop, closed: Closing) -> None:
    assert of(shop, OldKind.DELIVERY)[0].needed_by == "a can of it is in the cabinet"


def test_everything_kept_for_ever_is_a_choice_that_can_be_taken_back(shop: Shop, closed: Closing) -> None:
    house = shop.establishment
    choose_keeping(house, for_ever=True, why="we have the room", at=NOON, by=shop.marta)
    assert old_records(house, date(2090, 1, 1)) == []
    with pytest.raises(Refused, match="kept already"):
        choose_keeping(house, for_ever=True, why="again", at=NOON, by=shop.marta)
    choose_keeping(house, for_ever=False, why="no room left", at=NOON, by=shop.marta)
    assert of(shop, OldKind.JOB) != []


def test_an_archive_holds_exactly_what_is_free(shop: Shop, closed: Closing, cans: list[Container]) -> None:
    shop_car = closed.job.vehicle
    kept = Bay.check_in(shop, plate="SMP-417", vin=shop_car.vin)  # the same car, an open job
    assert kept.job.vehicle == shop_car
    made, files = archive_of(shop)

    assert [(one.kind, one.key, one.anchor) for one in made.archived.all()] == [("job", "J24-0001", DAY)]
    assert {"papers/C24-0001-v1.pdf", "lists/jobs.csv", "tables/compliance_closing.csv"} <= files.keys()
    assert any(name.startswith("photos/J24-0001/") for name in files)
    assert files["papers/C24-0001-v1.pdf"] == bytes(closed.certificates.get().document.pdf)
    text = b"".join(data for name, data in files.items() if name.endswith(".csv")).decode()
    assert "J24-0001" in text
    assert "J24-0002" not in text
    stages = files["tables/compliance_stage.csv"].decode().splitlines()
    assert len(stages) - 1 == closed.job.stages.count()
    assert "tables/inventory_movement.csv" not in files  # the book stays whole


def test_the_manifest_holds_the_hash_of_every_other_file(shop: Shop, closed: Closing) -> None:
    made, files = archive_of(shop)
    lines = [line.split("  ", 1) for line in files[MANIFEST].decode().splitlines()]
    assert {path: seal for seal, path in lines} == {
        name: hashlib.sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST
    }
    assert made.manifest_sha256 == hashlib.sha256(files[MANIFEST]).hexdigest()
    assert made.files == len(files)


def test_what_is_in_an_archive_is_said_and_nothing_is_gone(shop: Shop, closed: Closing) -> None:
    archive_of(shop)
    assert of(shop, OldKind.JOB)[0].archived
    assert Closing.objects.count() == 1


def test_nothing_free_makes_no_archive(shop: Shop, closed: Closing) -> None:
    with pytest.raises(Refused, match="nothing to put into an archive"):
        archive_of(shop, LAST)
    assert (Package.objects.count(), Archived.objects.count()) == (0, 0)


def test_only_the_owner_makes_one(shop: Shop, closed: Closing) -> None:
    with pytest.raises(Refused, match="Only the owner"):
        make_archive(shop.establishment, into_zip(io.BytesIO()), today=AFTER, at=NOON, by=shop.lee)


@pytest.fixture
def years_later(settings: Any) -> None:
    """The shop's clock stands past the last day of what was done on DAY."""
    settings.PRACTICE_OFFSET = max(timedelta(0), AFTER + timedelta(40) - date.today())


def test_the_page_hands_the_archive_out_and_says_it_was_made(
    years_later: None, shop: Shop, closed: Closing, sign_on: SignOn
) -> None:
    marta = sign_on(shop.marta)
    assert "2 records are past their time" in " ".join(marta.get("/records/old/").content.decode().split())
    answer = marta.post("/records/old/archive/")
    assert answer.headers["Content-Type"] == "application/zip"
    assert hashlib.sha256(body(answer)).hexdigest() == Package.objects.get().sha256
    page = marta.get("/records/old/").content.decode()
    assert Package.objects.get().sha256 in page
    assert "in no archive yet" in page


def test_in_january_today_speaks_of_it_until_the_archive_is_made(shop: Shop, closed: Closing) -> None:
    january = date(AFTER.year + 1, 1, 4)

    def said(day: date) -> list[str]:
        rows = [*asking(shop.establishment, day, shop.marta), *worth_a_reminder(shop.establishment, day)]
        return [one.text for one in rows if "past their time" in one.text]

    assert len(said(january)) == 2
    assert said(january.replace(month=2)) == []
    archive_of(shop, january)
    assert said(january) == []


def test_the_command_writes_the_same_into_a_folder(
    years_later: None, shop: Shop, closed: Closing, tmp_path: Path
) -> None:
    call_command("archive", str(tmp_path), by=shop.marta.username, stdout=io.StringIO())
    file = next(tmp_path.glob("archive-*.zip"))
    assert hashlib.sha256(file.read_bytes()).hexdigest() == Package.objects.get().sha256
    with pytest.raises(CommandError, match="No owner signs on as lee"):
        call_command("archive", str(tmp_path), by="lee", stdout=io.StringIO())
