"""Closing a job: the rules, the book and the signature."""

from __future__ import annotations

import pytest

from compliance.core.stages import LeakResult, StageKind
from compliance.models import Closing, Document, OnTheCar
from compliance.queries import job_sheet
from compliance.services import record_repair
from inventory.models import Container, Movement
from shop.core.findings import Refused
from shop.core.mass import grams
from tests.compliance.work import Bay, Moment
from tests.factories import Shop

OVER = ("overcharge",)  # the scale was read again, and it says so


def moved(closing: Closing) -> list[tuple[str, str, str, int]]:
    rows = closing.entry.movements.order_by("pk")
    return [(row.source_id, row.target_id, row.purpose, row.mass.ug) for row in rows]


def test_the_sample_job_closes_and_the_book_says_where_every_gram_went(
    bay: Bay, cans: list[Container]
) -> None:
    closing = bay.straight(cans[0], cans[1])

    assert moved(closing) == [
        ("vehicles", "RC-02", "recovered", 210_000_000),
        ("K-0001", "vehicles", "charged", 338_000_000),
        ("K-0002", "vehicles", "charged", 165_000_000),
        ("K-0002", "hoses", "hoses", 6_000_000),
    ]
    assert closing.charged
    assert Document.objects.get().number == "C24-0001"


def test_an_emptied_can_is_brought_to_its_weighed_heel(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "468", "129", emptied=True)  # 339 g out of 340 g, and 3 g above the shell of 126 g
    bay.draw(cans[1], "466", "299")
    bay.keep_charge()
    bay.finals()
    bay.close()
    assert Movement.objects.balances(["K-0001"])["K-0001"] == grams(3)
    assert Movement.objects.filter(purpose="fill").get().mass == grams(2)


def test_a_can_that_gives_more_than_its_label_gets_the_fill_difference_first(
    bay: Bay, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "471", "127")  # 344 g out of a can labelled 340 g
    bay.draw(cans[1], "466", "304")
    bay.keep_charge()
    bay.finals()
    closing = bay.close()
    assert ("fill difference", "K-0001", "fill", 4_000_000) in moved(closing)
    assert Movement.objects.balances(["K-0001"])["K-0001"] == grams(0)


def test_a_job_with_an_unanswered_stage_stays_open_and_names_it(bay: Bay, cans: list[Container]) -> None:
    bay.recover()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    with pytest.raises(Refused) as refused:
        bay.close()
    assert {one.field for one in refused.value.findings if one.code == "stage-open"} == {
        "leak-check",
        "evacuation",
        "final-readings",
    }
    assert not Closing.objects.exists()
    assert not Movement.objects.filter(purpose="charged").exists()


def test_a_job_that_does_not_add_up_stays_open_and_says_which_can_and_by_how_much(
    bay: Bay, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=False)
    bay.keep_charge()
    bay.finals()
    other = Bay.check_in(bay.shop, plate="SMP-999", at=bay.clock)
    other.up_to_charge_again()
    with pytest.raises(Refused) as refused:
        other.weigh(cans[0], "460", Moment.BEFORE)
    assert "K-0001 got heavier" in str(refused.value)


def test_a_can_still_on_the_car_keeps_the_job_open(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.weigh(cans[1], "464", Moment.BEFORE)
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused) as refused:
        bay.close()
    codes = {one.code for one in refused.value.findings if one.blocks}
    assert {"missing-after", "can-on-the-car"} <= codes


def test_a_charge_outside_the_label_needs_a_word_of_why(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "250", seen=OVER)  # 552 - 6 = 546 in a 500 g car
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused, match="Over the label by 46 g"):
        bay.close()
    closing = bay.close(remark="rear evaporator fitted, service data asks for 545 g")
    assert "left so" in closing.facts


def test_a_leak_found_and_not_answered_keeps_a_charged_job_open(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.leak_check(LeakResult.FOUND, "condenser, lower left, dye; steady")
    bay.finals()
    with pytest.raises(Refused, match="found a leak"):
        bay.close()
    record_repair(bay.job, what="condenser replaced, new O-rings", at=bay.later(), by=bay.by)
    assert bay.close().charged


def test_a_vacuum_that_held_after_a_leak_was_found_is_a_question(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.leak_check(LeakResult.FOUND, "condenser, lower left, dye; steady")
    bay.evacuate()
    bay.finals()
    with pytest.raises(Refused, match=r"found at 1\d:\d\d, and the vacuum held at 1\d:\d\d. Which is true"):
        bay.close()


def test_a_top_up_without_recovery_is_left_out_unless_the_shop_rule_allows_it(
    bay: Bay, cans: list[Container]
) -> None:
    for kind in (StageKind.RECOVERY, StageKind.EVACUATION):
        bay.leave_out(kind)
    bay.leak_check()
    bay.draw(cans[0], "466", "366")
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused, match="top-up"):
        bay.close()


def test_a_job_to_an_unknown_target_is_not_closed_as_charged(shop: Shop, cans: list[Container]) -> None:
    bay = Bay.check_in(shop, label=None, tolerance=None)
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused, match="label's charge is unknown"):
        bay.close()


def test_a_stopped_job_ends_not_charged_with_its_own_certificate(bay: Bay) -> None:
    bay.recover()
    bay.leak_check(LeakResult.FOUND, "condenser, dye; steady")
    closing = bay.close(stopped="leak found", state_now="empty, ports capped", choice="declined, by phone")
    assert not closing.charged
    assert moved(closing) == [("vehicles", "RC-02", "recovered", 210_000_000)]
    assert Document.objects.get().facts.count('"stop":{') == 1


def test_a_stopped_job_must_say_what_is_true_of_the_car_now(bay: Bay) -> None:
    bay.recover()
    with pytest.raises(Refused) as refused:
        bay.close(stopped="leak found")
    assert {one.field for one in refused.value.findings} >= {"state_now", "choice"}


def test_what_was_recovered_back_after_an_overshoot_is_not_in_the_car(
    bay: Bay, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "269", seen=OVER)  # 533 out, 527 in the car
    bay.recover("7966", "7993")
    bay.keep_charge()
    bay.finals()
    closing = bay.close()
    assert ("K-0002", "RC-02", "recovered back", 27_000_000) in moved(closing)
    charged = [ug for _, target, _, ug in moved(closing) if target == "vehicles"]
    assert sum(charged) == 500_000_000


def test_a_closed_job_takes_no_more_stages_and_is_not_closed_twice(bay: Bay, cans: list[Container]) -> None:
    bay.straight(cans[0], cans[1])
    for again in (bay.finals, bay.close, lambda: bay.weigh(cans[2], "466", Moment.BEFORE)):
        with pytest.raises(Refused, match="closed"):
            again()
    assert Closing.objects.count() == 1


def test_closing_takes_every_can_off_the_car(bay: Bay, cans: list[Container]) -> None:
    bay.straight(cans[0], cans[1])
    assert not OnTheCar.objects.exists()
    assert job_sheet(bay.job).cans[0].hanging is False
