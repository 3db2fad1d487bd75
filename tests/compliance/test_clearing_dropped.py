"""What drops out of a clearing on the way: holds, longer rules, visits; a car that other jobs need; and what comes
after, when somebody wants to write more about such a job."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from compliance.models import CheckIn, ClearingLeftOut, Job, PutAway, Tombstone
from compliance.queries.old_records import old_records
from compliance.queries.whole_book import whole_book_findings
from compliance.services import (
    Change,
    choose_keeping,
    correct_job,
    end_hold,
    give_link,
    issue_case_file,
    place_hold,
    withdraw_document,
)
from compliance.services.visits import note_copy
from inventory.models import Container
from shop.core.findings import Refused
from shop.models import Vehicle
from shop.queries import vehicle_by
from shop.services import change_rule
from tests.compliance.clearing_work import (
    AFTER,
    DUE,
    NEXT,
    UNTIL,
    VIN,
    Owner,
    archive_on,
    noon,
    old_job,
)
from tests.compliance.office import a_visit
from tests.compliance.work import Bay
from tests.conftest import Keep
from tests.factories import Shop, cans_of, receive


@pytest.fixture(scope="module")
def once(keep: Keep, shop_of_all: Shop) -> None:
    """Ms Calloway's car was here twice on one day."""

    def make() -> None:
        cans: list[Container] = cans_of(receive(shop_of_all))
        closing = old_job(shop_of_all, cans[0], cans[1])
        again = Bay.check_in(shop_of_all, vin=VIN, at=closing.at + timedelta(hours=1))
        again.up_to_charge_again()
        again.draw(cans[1], "293", "128", emptied=True)
        again.draw(cans[2], "466", "122")
        again.keep_charge()
        again.finals()
        again.close()

    keep(make)


@pytest.fixture
def owner(once: None, shop: Shop) -> Owner:
    return Owner(shop)


def job(number: str = "J24-0001") -> Job:
    return Job.objects.get(number=number)


def customers() -> list[str]:
    return [one.customer for one in CheckIn.objects.order_by("pk")]


def left_out() -> list[tuple[str, str]]:
    return list(ClearingLeftOut.objects.values_list("job__number", "why"))


def hold(owner: Owner, number: str, day: Any) -> None:
    place_hold(job(number), why="an insurer wrote", at=noon(day), by=owner.shop.lee)


def test_a_hold_between_asking_and_confirming_takes_the_job_out(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    hold(owner, "J24-0001", NEXT)
    assert left_out() == [("J24-0001", "it was put on hold")]
    assert owner.confirm(clearing).jobs == 1
    assert customers() == ["Ines Calloway", "(cleared)"]
    assert Vehicle.objects.get().vin == VIN  # the job that stays needs its car
    assert whole_book_findings() == []


def test_a_hold_while_the_details_are_put_away_brings_them_back_at_once(owner: Owner) -> None:
    clearing = owner.put_away()
    assert Vehicle.objects.get().vin == ""
    hold(owner, "J24-0001", UNTIL)
    assert customers()[0] == "Ines Calloway"
    assert Vehicle.objects.get().vin == VIN
    done = owner.clear(clearing)
    assert "J24-0001" in dict(left_out())
    assert customers()[0] == "Ines Calloway"
    assert done.jobs + len(left_out()) == 2
    assert whole_book_findings() == []


def test_the_car_comes_back_with_whichever_of_its_jobs_is_held(owner: Owner) -> None:
    for number in ("J24-0001", "J24-0002"):
        clearing = owner.put_away()
        hold(owner, number, UNTIL)
        assert vehicle_by(owner.shop.establishment, vin=VIN, plate="") is not None
        assert whole_book_findings() == []
        owner.undo(clearing, UNTIL)
        end_hold(job(number), why="settled", at=noon(UNTIL), by=owner.shop.marta)


def test_a_hold_placed_when_it_was_due_still_keeps_the_job(owner: Owner) -> None:
    clearing = owner.put_away()
    hold(owner, "J24-0002", DUE)
    owner.clear(clearing, DUE + timedelta(days=3))
    assert customers()[1] == "Ines Calloway"
    assert whole_book_findings() == []


def test_a_longer_rule_chosen_meanwhile_brings_everything_back(owner: Owner) -> None:
    clearing = owner.put_away()
    rule: dict[str, Any] = {"key": "keep_years", "value": "7", "basis": "our accountant"}
    rule |= {"from_day": NEXT, "today": NEXT, "at": noon(NEXT), "by": owner.shop.marta}
    change_rule(owner.shop.establishment, **rule)
    assert owner.clear(clearing).jobs == 0
    assert customers() == ["Ines Calloway", "Ines Calloway"]
    assert {why for _, why in left_out()} == {"it has to be kept longer by now"}
    assert PutAway.objects.count() == 0


def test_keeping_everything_for_ever_stops_each_step(owner: Owner) -> None:
    archive = archive_on(owner.shop)
    clearing = owner.ask(archive)
    forever: dict[str, Any] = {"for_ever": True, "why": "disk is cheap", "by": owner.shop.marta}
    choose_keeping(owner.shop.establishment, **forever, at=noon(NEXT))
    with pytest.raises(Refused, match="Every job of it is kept by now"):
        owner.confirm(clearing)
    owner.undo(clearing, NEXT)
    with pytest.raises(Refused, match="No job of this archive"):
        owner.ask(archive, NEXT)


def test_what_a_visit_took_a_copy_of_stays_while_the_visit_is_young(owner: Owner) -> None:
    visit, _, _ = a_visit(owner.shop, at=noon(AFTER - timedelta(days=20)))
    note_copy(visit, "certificate c24-0001, both versions", at=noon(AFTER), by=owner.shop.marta)
    records = {one.key: one for one in old_records(owner.shop.establishment, AFTER)}
    assert records["J24-0001"].needed_by == f"visit {visit.number} saw it"
    assert records["J24-0002"].is_free
    owner.put_away()
    assert customers() == ["Ines Calloway", "(cleared)"]


def test_a_paper_made_after_the_archive_keeps_its_job(owner: Owner) -> None:
    archive = archive_on(owner.shop)
    issue_case_file(job(), why="an insurer asks", on=AFTER, at=noon(AFTER), by=owner.shop.lee)
    clearing = owner.ask(archive)
    assert left_out() == [("J24-0001", "it has to be kept longer by now")]
    assert [one.job.number for one in clearing.jobs.all()] == ["J24-0002"]


def test_a_car_that_came_again_meanwhile_keeps_its_vin_on_its_new_row(owner: Owner) -> None:
    clearing = owner.put_away()
    Bay.check_in(owner.shop, vin=VIN, customer="Ines Calloway", at=noon(UNTIL))
    owner.undo(clearing, UNTIL)
    assert [one.vin for one in Vehicle.objects.order_by("pk")] == ["", VIN]
    assert customers() == ["Ines Calloway"] * 3
    assert whole_book_findings() == []


def test_another_job_of_the_car_keeps_the_car(owner: Owner) -> None:
    Bay.check_in(owner.shop, vin=VIN, at=noon(AFTER))
    owner.clear(owner.put_away())
    assert Vehicle.objects.get().vin == VIN
    assert customers() == ["(cleared)", "(cleared)", "Ines Calloway"]


def test_nothing_more_is_written_about_a_job_that_is_put_away_or_cleared(owner: Owner) -> None:
    clearing = owner.put_away()
    signed: dict[str, Any] = {"at": noon(NEXT), "by": owner.shop.marta}
    change = Change("check-in-1-customer", "(cleared)", "Ines Calloway")
    paper = job().closing.certificates.order_by("-pk")[0].document
    for words in ("put away to be cleared", "was cleared after its time"):
        for write in (
            lambda: correct_job(job(), [change], why="misspelt", on=NEXT, **signed),
            lambda: issue_case_file(job(), why="an insurer asks", on=NEXT, **signed),
            lambda: give_link(paper, given_to="Ines Calloway", seen=True, **signed),
            lambda: withdraw_document(paper, why="wrong car", **signed),
        ):
            with pytest.raises(Refused, match=words):
                write()
        if words.startswith("put"):
            owner.clear(clearing)


def test_what_was_cleared_is_in_no_second_clearing(owner: Owner) -> None:
    owner.clear(owner.put_away())
    records = [one for one in old_records(owner.shop.establishment, DUE) if one.key.startswith("J")]
    assert [one.cleared for one in records] == [True, True]
    buried = Tombstone.objects.count()
    later = archive_on(owner.shop, DUE) if any(one.is_free for one in records) else None
    assert later is None
    assert Tombstone.objects.count() == buried


def test_two_requests_do_not_wait_at_once(owner: Owner) -> None:
    archive = archive_on(owner.shop)
    owner.ask(archive)
    with pytest.raises(Refused, match="Another clearing waits"):
        owner.ask(archive)
