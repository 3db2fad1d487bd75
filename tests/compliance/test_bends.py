"""A job that does not run straight: what is asked, what is refused, and what the book and the paper say in the end."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from compliance import services
from compliance.core.stages import Identified, LeakResult
from compliance.models import CanTicket, Closing, HandOver, LightCan, OnTheCar, Retyping
from compliance.queries import job_sheet
from compliance.queries.facts import reconciliation
from inventory.core.weighing import Origin
from inventory.models import Container, Movement
from inventory.queries import last_ticket
from inventory.services import CylinderIn, LineIn, add_cylinder, mark_mixed
from shop.core.findings import Refused
from shop.core.mass import Unit, grams
from tests.compliance.work import Bay, Moment, car
from tests.factories import SET_UP, SET_UP_AT, Shop, book_of, cans_of, reading, receive, ticket_in

pytestmark = pytest.mark.one_engine

OVER = ("overcharge",)


def into_vehicles(closing: Closing) -> float:
    rows = Movement.objects.filter(entry=closing.entry, target="vehicles")
    return sum(row.mass.grams for row in rows)


@pytest.fixture
def rc09(shop: Shop) -> Container:
    """A cylinder kept for what nobody can name."""
    cylinder = CylinderIn(
        "RC-09",
        "unknown",
        tare=reading("17.1", Unit.LB),
        water=reading("26.2", Unit.LB),
        gross=reading("17.1", Unit.LB),
        requalified_on=SET_UP,
    )
    return add_cylinder(cylinder, shop.establishment, on=SET_UP, at=SET_UP_AT, by=shop.lee)


# --- Slips seen while the can can still be weighed again


def test_a_reading_that_would_overcharge_is_asked_about_with_the_digits_that_were_meant(
    bay: Bay, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)  # stop at 296; 239 would be 557 g in a 500 g car
    said = "That puts 557 g in a 500 g car. If the scale says 239 g, this is an overshoot. If it says 293 g"
    with pytest.raises(Refused, match=said):
        bay.weigh(cans[1], "239")
    typed = services.WeighingIn(cans[1], ticket_in(bay.shop, "239"), Moment.AFTER)
    guess = services.likely_weighing(bay.job, typed, by=bay.by)
    assert guess is not None
    assert guess.text == "293"

    bay.weigh(cans[1], "239", seen=OVER)

    assert job_sheet(bay.job).cans[1].tickets[-1].ticket.gross == grams(239)


def test_swapped_digits_of_a_known_can_are_offered_in_one_tap(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    slip = services.WeighingIn(cans[0], ticket_in(bay.shop, "646"), Moment.BEFORE)  # sealed: about 466
    with pytest.raises(Refused, match="A full can of this kind weighs about 466 g"):
        services.weigh_can(bay.job, slip, at=bay.later(), by=bay.by)

    guess = services.likely_weighing(bay.job, slip, by=bay.by)

    assert guess is not None
    assert guess.text == "466"


def test_another_can_than_the_one_on_the_car_is_asked_about(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused, match=r"This is K-0002. K-0001 is on the car since .*, last read 466 g"):
        bay.weigh(cans[1], "464", Moment.BEFORE)
    bay.weigh(cans[1], "464", Moment.BEFORE, seen=("other-can-on",))
    assert OnTheCar.objects.count() == 2


def test_what_the_page_says_while_typing_is_what_keeping_would_say(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    typed = services.WeighingIn(cans[0], ticket_in(bay.shop, "648"), Moment.BEFORE)
    found = services.look_at_weighing(bay.job, typed, at=bay.later(), by=bay.by)
    with pytest.raises(Refused) as refused:
        services.weigh_can(bay.job, typed, at=bay.later(), by=bay.by)
    assert [one.code for one in found] == [one.code for one in refused.value.findings] == ["can-above-full"]


# --- Cans


def test_a_can_on_another_car_is_taken_over_with_one_weighing(shop: Shop, cans: list[Container]) -> None:
    first, second = Bay.check_in(shop), Bay.check_in(shop, by=shop.rosa, plate="SMP-300")
    first.up_to_charge()
    second.up_to_charge_again()
    first.weigh(cans[0], "466", Moment.BEFORE)
    weighing = services.WeighingIn(cans[0], ticket_in(shop, "300"), Moment.BEFORE)
    with pytest.raises(Refused, match="is on J24-0001 since"):
        services.weigh_can(second.job, weighing, at=second.later(60), by=shop.rosa)

    services.take_over_can(second.job, weighing, at=second.later(60), by=shop.rosa)

    assert OnTheCar.objects.get().job == second.job
    assert [row.ticket.gross for row in job_sheet(first.job).cans[0].tickets] == [grams(466), grams(300)]
    assert [row.ticket.gross for row in job_sheet(second.job).cans[0].tickets] == [grams(300)]


def test_a_can_that_hangs_nowhere_is_not_taken_over(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    weighing = services.WeighingIn(cans[0], ticket_in(bay.shop, "300"), Moment.BEFORE)
    with pytest.raises(Refused, match="hangs on no other car"):
        services.take_over_can(bay.job, weighing, at=bay.later(), by=bay.by)
    assert not CanTicket.objects.exists()


def test_it_was_the_other_can_all_along(bay: Bay, cans: list[Container]) -> None:
    """Both sealed cans weigh about the same; the tickets move to the can that really hung there."""
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "300", stays_on=True)

    services.refile_can(bay.job, cans[0], cans[1], at=bay.later(), by=bay.by)

    (can,) = job_sheet(bay.job).cans
    assert can.container == cans[1]
    assert [row.ticket.gross for row in can.tickets] == [grams(466), grams(300)]
    assert can.hanging
    assert last_ticket(cans[0]) is None
    assert not cans[0].spoken_for.exists()
    assert Retyping.objects.count() == 2


def test_tickets_are_not_moved_to_a_can_that_cannot_have_weighed_that(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    (other,) = cans_of(receive(shop, LineIn(shop.can8, on_slip=1, sound=1), slip="88413"))
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused, match="This car takes R-134a"):
        services.refile_can(bay.job, cans[0], other, at=bay.later(), by=bay.by)
    assert job_sheet(bay.job).cans[0].container == cans[0]
    assert job_sheet(bay.job).cans[0].hanging


def test_what_a_can_lost_overnight_is_released_and_not_charged(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "296")
    bay.clock += timedelta(hours=14)
    with pytest.raises(Refused, match=r"K-0001 lost 25 g since .*: a leaking tap"):
        bay.weigh(cans[0], "271", Moment.BEFORE)
    bay.weigh(cans[0], "271", Moment.BEFORE, seen=("lost-waiting",))
    bay.weigh(cans[0], "128", emptied=True)
    bay.draw(cans[1], "464", "271")
    bay.keep_charge()
    bay.finals()

    closing = bay.close()

    # 466 - 128 + 464 - 271 = 531 out; 6 in the hoses and 25 lost overnight leave 500 in the car
    assert into_vehicles(closing) == 500
    released = Movement.objects.get(entry=closing.entry, target="air")
    assert (released.source_id, released.mass) == ("K-0001", grams(25))
    assert "K-0001 lost 25 g while it waited with its tap on" in closing.facts


@pytest.mark.parametrize(("why", "target"), [("short", "fill difference"), ("leaked", "air")])
def test_a_light_sealed_can_came_short_or_leaked_here(
    bay: Bay, cans: list[Container], why: str, target: str
) -> None:
    bay.up_to_charge()
    with pytest.raises(Refused, match="K-0001 is sealed, and 26 g lighter"):
        bay.weigh(cans[0], "440", Moment.BEFORE)
    bay.weigh(cans[0], "440", Moment.BEFORE, light=why)
    bay.weigh(cans[0], "127", emptied=True)  # 313 out, heel 1
    bay.draw(cans[1], "464", "271")
    bay.keep_charge()
    bay.finals()

    closing = bay.close()

    assert LightCan.objects.get().why == why
    lost = Movement.objects.filter(entry=closing.entry, source="K-0001", target=target)
    assert [row.mass for row in lost] == [grams(26)]
    assert book_of(bay.shop)["K-0001"] == grams(1)
    assert ("it came short" if why == "short" else "it leaked here") in closing.facts


def test_a_sealed_can_that_was_not_weighed_before_takes_its_label_and_says_so(
    bay: Bay, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE, origin=Origin.LABEL)
    bay.weigh(cans[0], "300")
    with pytest.raises(Refused, match="Only a sealed can has its weight on its label"):
        bay.weigh(cans[0], "466", Moment.BEFORE, origin=Origin.LABEL)
    assert job_sheet(bay.job).cans[0].before.ticket.origin == "from label"


def test_a_reading_typed_later_keeps_both_times(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    read_at = bay.clock
    row = bay.weigh(cans[0], "466", Moment.BEFORE, origin=Origin.TYPED_LATER, said_at=read_at)
    assert row.ticket.at == read_at
    assert row.ticket.origin == "typed later"
    with pytest.raises(Refused, match="That time lies after now"):
        bay.weigh(cans[0], "300", said_at=bay.clock + timedelta(hours=1))


# --- The system


def test_no_can_goes_on_a_car_whose_leak_was_found_and_not_answered(bay: Bay, cans: list[Container]) -> None:
    bay.recover()
    bay.leak_check(LeakResult.FOUND, "condenser, lower left, dye; steady")
    bay.evacuate()
    with pytest.raises(Refused, match="A leak was found: condenser, lower left"):
        bay.weigh(cans[0], "466", Moment.BEFORE)
    services.record_repair(bay.job, what="condenser replaced, new O-rings", at=bay.later(), by=bay.by)
    bay.weigh(cans[0], "466", Moment.BEFORE)


def test_recovered_refrigerant_does_not_go_back_into_a_car(bay: Bay, shop: Shop) -> None:
    bay.up_to_charge()
    with pytest.raises(Refused, match="RC-02 holds recovered refrigerant") as refused:
        bay.weigh(shop.rc02, "7966", Moment.BEFORE)
    assert refused.value.findings[0].basis.startswith("40 CFR 82.34")


def test_mixed_refrigerant_goes_into_its_own_cylinder_only(bay: Bay, shop: Shop, rc09: Container) -> None:
    with pytest.raises(Refused, match="never into RC-02, which holds R-134a"):
        bay.recover(identified=Identified.MIXED)
    with pytest.raises(Refused, match="RC-09 holds unknown"):
        bay.recover(cylinder=rc09)
    bay.recover(cylinder=rc09, identified=Identified.MIXED)
    bay.leak_check()

    closing = bay.close(stopped="mixed refrigerant", state_now="empty, ports capped", choice="towed away")

    (moved,) = Movement.objects.filter(entry=closing.entry)
    assert (moved.target_id, moved.refrigerant_id, moved.mass) == ("RC-09", "unknown", grams(210))
    assert '"into":"unknown"' in closing.certificates.get().document.facts


def test_a_cylinder_marked_as_mixed_takes_nothing_but_unknown_refrigerant(bay: Bay, shop: Shop) -> None:
    mark_mixed(shop.rc02, since=bay.clock, why="50 g of a mixed car went in", at=bay.clock, by=shop.marta)
    with pytest.raises(Refused, match="RC-02 holds unknown"):
        bay.recover()
    with pytest.raises(Refused, match="marked as mixed already"):
        mark_mixed(shop.rc02, since=bay.clock, why="again", at=bay.clock, by=shop.marta)


def test_a_wrong_can_that_went_in_comes_out_as_unknown_before_the_car_is_charged(
    bay: Bay, shop: Shop, cans: list[Container], rc09: Container
) -> None:
    (yf,) = cans_of(receive(shop, LineIn(shop.can8, on_slip=1, sound=1), slip="88413"))
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "266")
    wrong = services.MischargeIn(yf, ticket_in(shop, "335"), ticket_in(shop, "285"))
    services.record_mischarge(bay.job, wrong, at=bay.later(), by=bay.by)
    with pytest.raises(Refused, match=f"{yf.code} of another refrigerant went into this car"):
        bay.weigh(cans[1], "464", Moment.BEFORE)
    with pytest.raises(Refused, match="never into RC-02"):
        bay.recover("7966", "8200")
    bay.recover(cylinder=rc09, before="7756", after="8000")  # 244 of the 250 that were in
    bay.evacuate()
    bay.draw(cans[1], "464", "124", emptied=True)
    bay.draw(cans[2], "465", "299")
    bay.keep_charge()
    bay.finals()

    closing = bay.close()

    # 200 + 340 + 166 out of the right cans, 244 - 50 of it recovered, 6 in the hoses
    sums = reconciliation(job_sheet(bay.job))
    assert sums is not None
    assert sums.vehicle == grams(200 + 340 + 166 - 194 - 6)
    legs = Movement.objects.filter(entry=closing.entry)
    assert legs.get(source=yf.code).mass == grams(50)
    assert legs.get(target="RC-09").mass == grams(244)
    assert f"By mistake 50 g of R-1234yf from {yf.code} went into this car" in closing.facts


def test_the_right_refrigerant_is_no_mistake(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    wrong = services.MischargeIn(cans[0], ticket_in(shop, "466"), ticket_in(shop, "400"))
    with pytest.raises(Refused, match="Weigh it on the charge page"):
        services.record_mischarge(bay.job, wrong, at=bay.later(), by=bay.by)


# --- People


def test_work_by_somebody_without_a_card_is_said_and_the_owner_closes(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    check = services.LeakCheckIn(("eyes",), ("hoses",), LeakResult.NONE_SEEN)
    bay.recover()
    services.record_leak_check(bay.job, check, uncertified="Sam Ortiz", at=bay.later(), by=shop.marta)
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    with pytest.raises(
        Refused, match=r"Leak check was done by Sam Ortiz, who holds no 609 card. Only the owner"
    ):
        bay.close()
    bay.by = shop.marta

    closing = bay.close()

    paper = closing.certificates.get().document.facts
    assert "Sam Ortiz held no Section 609 proof of certification; written down by Marta Quill." in paper


def test_somebody_without_a_card_signs_no_stage_as_their_own(bay: Bay, shop: Shop) -> None:
    with pytest.raises(Refused, match="No 609 card of Marta Quill is on file"):
        services.record_leak_check(
            bay.job,
            services.LeakCheckIn(("eyes",), ("hoses",), LeakResult.NONE_SEEN),
            at=bay.later(),
            by=shop.marta,
        )


def test_two_technicians_each_sign_their_own_stages(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.up_to_charge()
    services.hand_over(bay.job, to=shop.rosa, note="vacuum holds, charge next", at=bay.later(), by=bay.by)
    bay.by = shop.rosa
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()

    facts = bay.close().certificates.get().document.facts

    assert HandOver.objects.get().to == shop.rosa
    assert '"stage":"Recovery","standing":"Dev Larkin' in facts
    assert '"stage":"Charge","standing":"Rosa Tamayo' in facts


def test_a_job_is_handed_to_somebody_else_who_works_here(bay: Bay, shop: Shop) -> None:
    with pytest.raises(Refused, match="You have the job already"):
        services.hand_over(bay.job, to=shop.dev, note="x", at=bay.later(), by=shop.dev)
    with pytest.raises(Refused, match="how it stands"):
        services.hand_over(bay.job, to=shop.rosa, note=" ", at=bay.later(), by=shop.dev)


def test_more_than_the_label_came_out_is_said_and_no_fault(bay: Bay, cans: list[Container]) -> None:
    bay.recover("7756", "8516")  # 760 g of a 500 g car
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "296")
    bay.keep_charge()
    bay.finals()
    assert "260 g more came out than the label asks for" in bay.close().facts


def test_the_customer_may_change_their_mind(bay: Bay, shop: Shop) -> None:
    said = services.ChoiceIn("decline", "Ines Calloway", "by phone", "too dear")
    services.record_choice(bay.job, said, at=bay.later(), by=shop.lee)
    services.record_choice(
        bay.job, services.ChoiceIn("repair", "Ines Calloway", "at the counter"), at=bay.later(), by=shop.lee
    )
    assert [one.what for one in bay.job.choices.all()] == ["decline", "repair"]
    with pytest.raises(Refused, match="Type who answered"):
        services.record_choice(
            bay.job, services.ChoiceIn("repair", "", "by phone"), at=bay.later(), by=shop.lee
        )


def test_only_the_owner_closes_a_job_as_abandoned(bay: Bay, shop: Shop) -> None:
    bay.recover()
    said = {"stopped": "abandoned, as it stands", "state_now": "empty, capped", "choice": "never came back"}
    with pytest.raises(Refused, match="Only the owner"):
        bay.close(abandoned=True, **said)
    bay.by = shop.marta
    assert not bay.close(abandoned=True, **said).charged


# --- Holds by the clock


def test_the_minutes_of_a_hold_come_from_its_two_instants_over_midnight(bay: Bay) -> None:
    began = bay.later(12 * 60 - 10)  # ten minutes before midnight in the shop
    evacuation = services.EvacuationIn(
        pump="VP-1",
        started_at=bay.clock - timedelta(minutes=40),
        stopped_at=began,
        deepest="600 micron",
        result="held",
        hold_from="600 micron",
        hold_to="720 micron",
        hold=services.HoldIn(began, began + timedelta(minutes=25)),
    )

    kept = services.record_evacuation(bay.job, evacuation, at=began + timedelta(hours=1), by=bay.by)

    assert kept.hold_minutes == 25
    assert kept.stage.hold.stopped_at - kept.stage.hold.started_at == timedelta(minutes=25)


def test_a_hold_that_ends_before_it_began_is_refused(bay: Bay) -> None:
    now = bay.later(120)
    evacuation = services.EvacuationIn(
        pump="VP-1",
        started_at=now - timedelta(minutes=90),
        stopped_at=now - timedelta(minutes=50),
        deepest="600 micron",
        result="held",
        hold_from="600 micron",
        hold_to="720 micron",
        hold=services.HoldIn(now, now - timedelta(minutes=15)),
    )
    with pytest.raises(Refused, match="The hold ended before it began"):
        services.record_evacuation(bay.job, evacuation, at=now, by=bay.by)


def test_a_retrofit_says_what_the_car_does_not_show(shop: Shop, cans: list[Container]) -> None:
    found = replace(car(), retrofit=services.RetrofitIn(labelled=True, fittings=False, removed=True))
    bay = Bay.check_in(shop)
    services.revise_check_in(bay.job, found, at=bay.later(), by=bay.by)
    closing = bay.straight(cans[0], cans[1])
    assert "not found on the car: ports of this refrigerant without adapters" in closing.facts


def test_another_source_of_the_charge_weight_has_a_name(shop: Shop) -> None:
    label = services.LabelIn(reading("500"), None, "other source")
    with pytest.raises(Refused, match="Say where the charge weight was read"):
        services.check_in(
            replace(car(), label=label), shop.establishment, on=SET_UP, at=SET_UP_AT, by=shop.dev
        )
