"""Every gram and every answer through the paths where they were once lost: regressions, told as sentences."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from compliance import services
from compliance.core.stages import Identified
from compliance.models import CanTicket, LightCan
from compliance.queries import job_sheet
from compliance.queries.charge_view import charge_view, state_of
from inventory.core.weighing import Origin
from inventory.models import Container, Movement
from inventory.services import LineIn, mark_mixed
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from tests.compliance.test_bends import rc09
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import Shop, book_of, cans_of, receive, ticket_in

pytestmark = pytest.mark.one_engine

__all__ = ["rc09"]


@pytest.fixture
def dev(shop: Shop, sign_on: SignOn) -> Client:
    return sign_on(shop.dev)


@pytest.fixture
def yf(shop: Shop) -> Container:
    (can,) = cans_of(receive(shop, LineIn(shop.can8, on_slip=1, sound=1), slip="88413"))
    return can


def on_the_page(shop: Shop, reading: str, **more: str) -> dict[str, str]:
    typed = {"container": "K-0002", "reading": reading, "what": "off", "scale": str(shop.scale.pk)}
    return typed | {"style": "bare can"} | more


# --- Answers hold for the reading they stood beside


def test_an_answer_to_one_reading_does_not_let_another_one_pass(
    bay: Bay, shop: Shop, cans: list[Container], dev: Client
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)
    address = f"/bay/{bay.job.number}/charge/"

    dev.post(address, on_the_page(shop, "150", seen="overcharge@239"))
    assert len(job_sheet(bay.job).cans[1].tickets) == 1
    dev.post(address, on_the_page(shop, "239", seen="overcharge@239"))

    assert job_sheet(bay.job).cans[1].tickets[-1].ticket.gross == grams(239)


def test_a_refused_page_carries_no_answer_into_the_next_reading(
    bay: Bay, shop: Shop, cans: list[Container], dev: Client
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)
    page = dev.post(
        f"/bay/{bay.job.number}/charge/", on_the_page(shop, "239", meant="293 g", style="can with tap")
    ).content.decode()
    assert "Weigh it the same way again" in page
    assert '<input type="hidden" name="meant"' not in page
    assert '<input type="hidden" name="seen"' not in page


def test_a_can_that_was_never_sealed_and_light_leaks_nothing(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "300", light="leaked")
    assert not LightCan.objects.exists()


def test_a_light_can_stays_light_when_its_ticket_is_typed_again(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    row = bay.weigh(cans[0], "440", Moment.BEFORE, light="leaked")
    again = services.WeighingIn(cans[0], ticket_in(bay.shop, "441"), Moment.BEFORE)
    services.retype_ticket(row, again, at=bay.later(), by=bay.by)
    bay.weigh(cans[0], "300")
    bay.draw(cans[1], "464", "128", emptied=True)
    bay.keep_charge()
    bay.finals()
    bay.close(remark="no more cans at hand")
    # 340 by its label, 25 leaked on the shelf, 141 drawn
    assert book_of(bay.shop)["K-0001"] == grams(340 - 25 - 141)


def test_a_light_can_stays_light_when_it_was_really_another_one(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "440", Moment.BEFORE, light="leaked")
    bay.weigh(cans[0], "300")
    services.refile_can(bay.job, cans[0], cans[1], at=bay.later(), by=bay.by)
    bay.draw(cans[2], "464", "128", emptied=True)
    bay.keep_charge()
    bay.finals()
    bay.close(remark="no more cans at hand")
    assert book_of(bay.shop)["K-0002"] == grams(340 - 26 - 140)
    assert book_of(bay.shop)["K-0001"] == grams(340)


def test_a_can_whose_tickets_moved_away_can_be_used_on_another_car(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    services.refile_can(bay.job, cans[0], cans[1], at=bay.later(), by=bay.by)
    other = Bay.check_in(shop, plate="SMP-300", at=bay.clock)
    other.up_to_charge_again()
    other.weigh(cans[0], "466", Moment.BEFORE)
    assert job_sheet(other.job).cans[0].book == grams(340)


# --- What comes back out


def test_the_charge_page_counts_a_wrong_can_out_before_the_charge_is_kept(
    bay: Bay, shop: Shop, cans: list[Container], rc09: Container, yf: Container
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "266")
    wrong = services.MischargeIn(yf, ticket_in(shop, "335"), ticket_in(shop, "285"))
    services.record_mischarge(bay.job, wrong, at=bay.later(), by=bay.by)
    bay.recover(cylinder=rc09, before="7756", after="8006")  # all 250 that were in
    assert state_of(job_sheet(bay.job)).wanted == grams(506)


def test_a_cylinder_marked_as_mixed_counts_as_unknown_ever_after(
    bay: Bay, shop: Shop, cans: list[Container], yf: Container
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "266")
    wrong = services.MischargeIn(yf, ticket_in(shop, "335"), ticket_in(shop, "285"))
    services.record_mischarge(bay.job, wrong, at=bay.later(), by=bay.by)
    mark_mixed(shop.rc02, since=bay.later(), why="it has to go somewhere", at=bay.clock, by=shop.marta)
    shop.rc02.refresh_from_db()
    bay.recover("7966", "8216")
    assert state_of(job_sheet(bay.job)).in_car == ZERO
    assert state_of(job_sheet(bay.job)).wanted == grams(506)


def test_a_recovery_of_nothing_does_not_take_a_wrong_can_out(
    bay: Bay, shop: Shop, cans: list[Container], rc09: Container, yf: Container
) -> None:
    bay.up_to_charge()
    wrong = services.MischargeIn(yf, ticket_in(shop, "335"), ticket_in(shop, "285"))
    services.record_mischarge(bay.job, wrong, at=bay.later(), by=bay.by)
    bay.recover(cylinder=rc09, before="7756", after="7756", gauge="0 psi", identified=Identified.MIXED)
    bay.evacuate()
    with pytest.raises(Refused, match="Recover all of it"):
        bay.weigh(cans[0], "466", Moment.BEFORE)


def test_a_can_weighed_while_the_machine_still_runs_gets_nothing_back(
    bay: Bay, cans: list[Container]
) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.recover()
    bay.leak_check()
    bay.evacuate()
    bay.weigh(cans[0], "128", emptied=True)
    bay.draw(cans[1], "464", "296")
    bay.keep_charge()
    bay.finals()
    closing = bay.close()
    assert not Movement.objects.filter(entry=closing.entry, purpose="recovered back").exists()


def test_a_top_up_stays_one_when_something_is_recovered_afterwards(bay: Bay, cans: list[Container]) -> None:
    bay.draw(cans[0], "466", "366")
    bay.recover("7756", "7776")
    bay.leak_check()
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused, match="top-up"):
        bay.close()


def test_a_can_that_gave_nothing_lets_a_stopped_job_close(bay: Bay, cans: list[Container]) -> None:
    bay.recover()
    bay.draw(cans[0], "466", "466")
    assert not bay.close(stopped="customer declined", state_now="empty", choice="declined").charged


def test_the_first_can_stops_for_the_hoses_too(shop: Shop, cans: list[Container]) -> None:
    bay = Bay.check_in(shop, label="300")
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    stop = charge_view(job_sheet(bay.job)).stop
    assert stop is not None
    assert stop.text == "160"  # 466 - (300 + 6 in the hoses)


# --- Who, and when


def test_hands_without_a_card_are_known_from_the_weighing_on(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE, uncertified="Sam Ortiz")
    bay.weigh(cans[1], "293", uncertified="Sam Ortiz")
    bay.keep_charge()
    bay.finals()
    with pytest.raises(Refused, match=r"Charge was done by Sam Ortiz, who holds no 609 card. Only the owner"):
        bay.close()
    bay.by = shop.marta
    assert "Sam Ortiz held no Section 609" in bay.close().certificates.get().document.facts


def test_a_ticket_typed_again_keeps_its_moment_and_its_time(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    row = bay.weigh(cans[0], "466", Moment.BEFORE)
    late = services.WeighingIn(
        cans[0], ticket_in(bay.shop, "465"), Moment.AFTER, emptied=True, said_at=bay.clock + timedelta(days=9)
    )
    with pytest.raises(Refused, match="lies after now"):
        services.retype_ticket(row, late, at=bay.later(), by=bay.by)
    again = services.WeighingIn(cans[0], ticket_in(bay.shop, "465"), Moment.AFTER, emptied=True)
    new = services.retype_ticket(row, again, at=bay.later(), by=bay.by)
    assert (new.moment, new.emptied) == (CanTicket.Moment.BEFORE, False)


def test_a_reading_is_not_older_than_the_one_before_it(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused, match="before the last ticket of K-0001"):
        bay.weigh(cans[0], "300", origin=Origin.TYPED_LATER, said_at=bay.clock - timedelta(days=1))


def test_a_can_on_the_car_has_no_second_before(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused, match="is on the car already"):
        bay.weigh(cans[0], "300", Moment.BEFORE, seen=("lost-waiting",))


def test_the_plan_knows_what_other_open_cars_have_drawn(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "200")
    other = Bay.check_in(shop, plate="SMP-300", at=bay.clock)
    other.up_to_charge_again()
    first = charge_view(job_sheet(other.job)).next_cans[0]
    assert (first.can, first.weighs, first.take) == (cans[0], grams(200), grams(74 - 4))


# --- Odd input


@pytest.mark.parametrize(
    "odd",
    [
        {"container": "RC-02", "reading": "466"},
        {"container": "RC-02", "reading": "", "from_label": "on"},
        {"reading": "", "from_label": "false"},
        {"read_at": "2024-04-02T13:00", "read_at_instant": "9999-12-31T23:59:59-12:00"},
        {"light": "short@@@", "seen": "@", "meant": "@ @ @"},
    ],
)
def test_odd_input_on_the_charge_page_gets_an_answer(
    bay: Bay, shop: Shop, cans: list[Container], dev: Client, odd: dict[str, str]
) -> None:
    bay.up_to_charge()
    typed = on_the_page(shop, "466") | odd
    assert dev.post(f"/bay/{bay.job.number}/charge/", typed).status_code in (200, 302)
    assert dev.get(f"/bay/{bay.job.number}/charge/look/", typed).status_code == 200


def test_a_draft_with_an_impossible_clock_does_not_shut_its_page(bay: Bay, dev: Client) -> None:
    typed = {"started_at": "2024-04-02T13:00", "started_at_instant": "9999-12-31T23:59:59-12:00"}
    assert dev.post(f"/bay/{bay.job.number}/evacuation/draft/", typed).status_code == 200
    assert dev.get(f"/bay/{bay.job.number}/evacuation/").status_code == 200


def test_a_clock_pressed_on_another_page_is_not_put_back_by_an_older_one(bay: Bay, dev: Client) -> None:
    address = f"/bay/{bay.job.number}/evacuation/"
    empty = dict.fromkeys(("started_at", "stopped_at", "hold_started_at", "hold_stopped_at"), "")
    dev.post(address, empty | {"clock": "started_at"})
    dev.post(address, empty | {"clock": "stopped_at"})  # from a page that knows no start
    dev.post(address, empty | {"clock": "hold_started_at"})
    typed = bay.job.drafts.get().typed
    assert all(typed[f"{name}_instant"] for name in ("started_at", "stopped_at", "hold_started_at"))


def test_a_hold_is_no_longer_than_the_time_since_the_pump_stopped(bay: Bay) -> None:
    now = bay.later(60)
    evacuation = services.EvacuationIn(
        pump="VP-1",
        started_at=now - timedelta(minutes=41),
        stopped_at=now - timedelta(minutes=1),
        deepest="600 micron",
        result="held",
        hold_minutes=15,
        hold_from="600 micron",
        hold_to="720 micron",
    )
    with pytest.raises(Refused, match="longer than the 2 min since the pump stopped"):
        services.record_evacuation(bay.job, evacuation, at=now, by=bay.by)
