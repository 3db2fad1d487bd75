"""The charge, can by can: slips are caught while the can can still be weighed again, and nothing is written then."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.models import CanTicket, OnTheCar
from compliance.queries import job_sheet
from compliance.queries.charge_view import charge_view
from compliance.services import WeighingIn, retype_ticket
from inventory.core.weighing import Style
from inventory.models import Container, Movement, SpokenFor, WeighTicket
from inventory.services import CountedIn, CountIn, LineIn, TicketIn, record_count
from shop.core.findings import Refused
from shop.core.mass import grams
from shop.services import PersonIn, add_person
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, PASSWORD, Shop, cans_of, reading, receive


def codes(refused: pytest.ExceptionInfo[Refused]) -> set[str]:
    return {finding.code for finding in refused.value.findings}


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("16", "unit-slip"),  # 16.4 oz read as grams
        ("648", "can-above-full"),
        ("60", "can-below-shell"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_and_nothing_is_written(
    bay: Bay, cans: list[Container], typed: str, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        bay.weigh(cans[0], typed, Moment.BEFORE)
    assert code in codes(refused)
    assert not WeighTicket.objects.filter(container=cans[0]).exists()
    assert not OnTheCar.objects.exists()


def test_a_light_sealed_can_is_asked_about_once_and_kept_when_the_person_says_so(
    bay: Bay, cans: list[Container]
) -> None:
    with pytest.raises(Refused) as refused:
        bay.weigh(cans[0], "450", Moment.BEFORE)
    assert codes(refused) == {"sealed-light"}
    with pytest.raises(Refused):  # seen is no answer: it came short, or it leaked here
        bay.weigh(cans[0], "450", Moment.BEFORE, seen=("sealed-light",))
    assert bay.weigh(cans[0], "450", Moment.BEFORE, light="short").ticket.gross == grams(450)


def test_a_can_cannot_gain_weight_on_the_car(bay: Bay, cans: list[Container]) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused) as refused:
        bay.weigh(cans[0], "474", Moment.AFTER)
    assert "can-gained" in codes(refused)


def test_before_and_after_must_be_weighed_the_same_way(bay: Bay, cans: list[Container]) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused) as refused:
        bay.weigh(cans[0], "300", Moment.AFTER, style=Style.TAP)
    assert codes(refused) == {"style-differs"}


def test_a_can_of_another_refrigerant_is_refused(bay: Bay, shop: Shop) -> None:
    other = cans_of(receive(shop, LineIn(shop.can8, 12, 12), slip="99001"))[0]
    with pytest.raises(Refused, match=r"This car takes R-134a"):
        bay.weigh(other, "335", Moment.BEFORE)


def test_a_can_hangs_on_one_car_only(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    second = Bay.check_in(shop, by=shop.rosa, plate="SMP-999")
    with pytest.raises(Refused, match=f"K-0001 is on {bay.job.number}"):
        second.weigh(cans[0], "466", Moment.BEFORE)


def test_a_person_without_a_card_cannot_stand_as_who_charged(
    bay: Bay, cans: list[Container], shop: Shop
) -> None:
    helper = PersonIn("Sam Ortega", "sam", "technician", PASSWORD)
    bay.by = add_person(helper, shop.establishment, at=NOON, by=shop.marta)
    with pytest.raises(Refused, match="No 609 card of Sam Ortega is on file"):
        bay.weigh(cans[0], "466", Moment.BEFORE)


def test_a_card_issued_later_does_not_cover_earlier_work(shop: Shop, cans: list[Container]) -> None:
    early = Bay.check_in(shop, by=shop.rosa, at=NOON.replace(year=2022, month=5, day=3), plate="SMP-001")
    with pytest.raises(Refused, match=r"issued May 6 2022, after May 3 2022"):
        early.recover()


def test_a_retyped_ticket_stands_in_the_place_of_the_old_one_which_is_kept(
    bay: Bay, cans: list[Container]
) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    wrong = bay.weigh(cans[0], "239", Moment.AFTER)
    again = WeighingIn(cans[0], TicketIn(bay.shop.scale, reading("293")), Moment.AFTER)
    retype_ticket(wrong, again, at=bay.later(), by=bay.by)
    (can,) = job_sheet(bay.job).cans
    assert [row.ticket.reading_text for row in can.tickets] == ["466", "293"]
    assert CanTicket.objects.filter(pk=wrong.pk).exists()


def test_a_ticket_is_retyped_once(bay: Bay, cans: list[Container]) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    wrong = bay.weigh(cans[0], "239", Moment.AFTER)
    again = WeighingIn(cans[0], TicketIn(bay.shop.scale, reading("293")), Moment.AFTER)
    retype_ticket(wrong, again, at=bay.later(), by=bay.by)
    with pytest.raises(Refused, match="typed again already"):
        retype_ticket(wrong, again, at=bay.later(), by=bay.by)


def test_the_charge_page_says_at_which_reading_to_stop(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)
    view = charge_view(job_sheet(bay.job))
    # 338 out, 6 held in the hoses, 332 in the car, 168 to go: 464 - 168 = 296 (hand-worked)
    assert (view.in_car, view.to_go) == (grams(332), grams(168))
    assert view.stop is not None
    assert view.stop.text == "296"
    assert view.enough


def test_a_can_that_cannot_give_all_that_is_wanted_says_when_it_is_empty(
    bay: Bay, cans: list[Container]
) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    view = charge_view(job_sheet(bay.job))
    assert view.stop is not None
    assert (view.stop.text, view.enough) == ("126", False)


def test_a_car_is_checked_in_once_at_a_time(bay: Bay, shop: Shop) -> None:
    with pytest.raises(Refused, match=f"already in the bay as {bay.job.number}"):
        Bay.check_in(shop)


@pytest.mark.parametrize(("label", "said"), [("50", "200 g to 3,000 g"), ("5000", "200 g to 3,000 g")])
def test_an_absurd_label_is_refused(shop: Shop, label: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        Bay.check_in(shop, label=label)


def test_a_lighter_cylinder_is_no_recovery(bay: Bay) -> None:
    with pytest.raises(Refused, match="cylinder got lighter"):
        bay.recover("7966", "7756")


def test_a_cylinder_read_in_another_unit_is_asked_about(bay: Bay) -> None:
    with pytest.raises(Refused, match="Which unit does the scale show"):
        bay.recover("17100", "17300")


def test_nothing_came_out_is_a_recovery_too(bay: Bay) -> None:
    with pytest.raises(Refused, match="what the gauge showed"):
        bay.recover("7756", "7756")
    bay.recover("7756", "7756", gauge="0 psi")
    (recovery,) = job_sheet(bay.job).recoveries
    assert recovery.after.gross == recovery.before.gross
    assert recovery.gauge == "0 psi"


def test_a_machine_not_made_for_the_refrigerant_is_refused(shop: Shop) -> None:
    other = Bay.check_in(shop, refrigerant="R-1234yf", plate="SMP-300")
    with pytest.raises(Refused, match="does not name R-1234yf"):
        other.recover()


def test_a_can_used_by_two_open_jobs_closes_on_both_in_either_order(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    """Worked by hand: 338 g of a 340 g can, 166 g on the first car, 172 g and empty on the second."""
    bay.up_to_charge()
    bay.draw(cans[0], "466", "300")
    bay.draw(cans[1], "466", "126", emptied=True)
    second = Bay.check_in(shop, by=shop.rosa, plate="SMP-999", at=bay.clock)
    second.up_to_charge_again()
    second.draw(cans[0], "300", "128", emptied=True)
    second.draw(cans[2], "466", "132")
    for job in (second, bay):
        job.keep_charge()
        job.finals()
        job.close()
    held = Movement.objects.balances(["K-0001", "K-0002", "K-0003"])
    assert held == {"K-0001": grams(2), "K-0002": grams(0), "K-0003": grams(6)}
    assert not SpokenFor.objects.exists()


def test_a_can_that_was_used_elsewhere_since_does_not_come_back_to_the_first_car(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.draw(cans[0], "466", "366")
    second = Bay.check_in(shop, by=shop.rosa, plate="SMP-999", at=bay.clock)
    second.draw(cans[0], "366", "266")
    with pytest.raises(Refused, match="weighed for something else since"):
        bay.weigh(cans[0], "266", Moment.BEFORE)


def test_a_container_of_an_open_job_waits_and_is_left_out_of_a_count(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.draw(cans[0], "466", "366")
    counted = CountIn(NOON.date(), [CountedIn(cans[0], "weighed", TicketIn(shop.scale, reading("366")))])
    with pytest.raises(Refused, match=f"K-0001 waits for {bay.job.number} to close"):
        record_count(counted, shop.establishment, at=bay.later(), by=shop.marta)


def on_the_page(bay: Bay, reading: str) -> dict[str, object]:
    return {
        "container": "K-0001",
        "reading": reading,
        "what": "before",
        "scale": bay.shop.scale.pk,
        "style": "bare can",
    }


def test_an_ounce_reading_in_a_gram_field_is_offered_as_ounces_and_kept_as_typed(
    bay: Bay, cans: list[Container], dev: Client
) -> None:
    """16.4 oz is 464.932 g (16.4 x 28.349523125); one tap takes it, and the ticket says 16.4 oz."""
    address = f"/bay/{bay.job.number}/charge/"
    typed = on_the_page(bay, "16.4")
    page = dev.post(address, typed).content.decode()
    assert "16.4 looks like ounces" in page
    assert "Use 465 g (16.4 oz)" in page
    assert not WeighTicket.objects.exists()
    dev.post(address, typed | {"meant": "16.4 oz"})
    ticket = WeighTicket.objects.get()
    assert (str(ticket.reading), ticket.gross.ug) == ("16.4 oz", 464_932_179)


def test_a_number_finer_than_the_scale_shows_is_refused(bay: Bay, cans: list[Container], dev: Client) -> None:
    page = dev.post(f"/bay/{bay.job.number}/charge/", on_the_page(bay, "466.25")).content.decode()
    assert 'id="id_reading_error"' in page
    assert not WeighTicket.objects.exists()
