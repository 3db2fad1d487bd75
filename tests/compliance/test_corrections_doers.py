"""A slip for who did a stage, attacked: earlier passes, slips one after the other, leavers, holds, forged rows."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import DatabaseError, transaction
from django.utils import translation

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.stages import LeakResult
from compliance.forms.corrections import CorrectionForm
from compliance.models import Closing, CorrectedField, Correction, DoerPutRight
from compliance.queries import job_sheet
from compliance.queries.corrections import spots
from compliance.queries.holds import on_hold
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, LeakCheckIn, correct_job, place_hold, record_leak_check
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.records import drop_guards, install_guards
from shop.services import LeavingIn, end_authorisation, leave_shop
from tests.compliance.clearing_work import Owner, archive_on, old_job
from tests.compliance.test_faults import in_threads
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, NOON, Shop, cans_of, make_shop, receive

DEV, ROSA, LEE = "Dev Larkin (dev)", "Rosa Tamayo (rosa)", "Lee Okonma (lee)"
NO_CARD = "Lee Okonma (no 609 card)"
ONE = timedelta(days=1)


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    """Recovered twice; Rosa weighed the second can, and Dev did the rest and signed it."""
    bay.up_to_charge()
    bay.recover("7966", "7970")
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    dev, bay.by = bay.by, bay.shop.rosa
    bay.draw(cans[1], "464", "293")
    bay.by = dev
    bay.keep_charge()
    bay.finals()
    return bay.close()


@pytest.fixture
def live_shop(live_db: None) -> Shop:
    return make_shop()


def correct(bay: Bay, closed: Closing, key: str, new: str, unit: str = "") -> Correction:
    (spot,) = [one for one in spots(job_sheet(closed.job)) if one.key == key]
    moment, why = bay.later(), "signed on as the wrong one"
    change = Change(key, spot.shown, new, unit)
    return correct_job(closed.job, [change], why=why, on=moment.date(), at=moment, by=bay.shop.marta)


def charged_by(closed: Closing) -> str:
    newest = closed.certificates.order_by("-document__version")[0].document
    charge = rebuild(CertificateFacts, newest.facts).charge
    assert charge is not None
    return charge.by


@pytest.mark.parametrize("turn", [1, 2])
def test_every_pass_asks_whether_its_doer_was_authorised(bay: Bay, closed: Closing, turn: int) -> None:
    runs = bay.shop.rosa.authorisations.get()
    end_authorisation(runs, last_day=DAY - ONE, may_sign_on=True, at=bay.later(), by=bay.shop.marta)
    with pytest.raises(Refused, match="Rosa Tamayo was not authorised") as refused:
        correct(bay, closed, f"recovery-{turn}-by", ROSA)
    assert [one.field for one in refused.value.findings if one.blocks] == [f"recovery-{turn}-by"]
    assert not Correction.objects.exists()


@pytest.mark.parametrize("between", [ROSA, NO_CARD])
def test_a_slip_taken_back_leaves_the_weighings_of_others_where_they_were(
    bay: Bay, closed: Closing, between: str
) -> None:
    assert charged_by(closed) == "Dev Larkin, Rosa Tamayo"
    correct(bay, closed, "charge-1-by", between)
    correct(bay, closed, "charge-1-by", DEV)
    assert charged_by(closed) == "Dev Larkin, Rosa Tamayo"
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("key", "typed", "says"),
    [
        ("label-charge", ("50", "kg"), "Check the number and its unit"),
        ("label-charge", ("17.6", "g"), "Check the number and its unit"),
        ("label-tolerance", ("20", "oz"), "at most 150 g"),
    ],
)
def test_a_slip_of_the_unit_is_no_label(
    bay: Bay, closed: Closing, key: str, typed: tuple[str, str], says: str
) -> None:
    with pytest.raises(Refused, match=says) as refused:
        correct(bay, closed, key, *typed)
    assert [one.field for one in refused.value.findings if one.blocks] == [key]


def test_a_name_as_it_was_signed_can_be_put_back(bay: Bay, cans: list[Container]) -> None:
    bay.recover()
    look = LeakCheckIn(("eyes",), ("hoses",), LeakResult.NONE_SEEN, "LD-1", "")
    record_leak_check(bay.job, look, uncertified="Sam Iverson", at=bay.later(), by=bay.by)
    bay.evacuate()
    for can, before, after in ((cans[0], "466", "128"), (cans[1], "464", "293")):
        bay.weigh(can, before, Moment.BEFORE, uncertified="Sam Iverson")
        bay.weigh(can, after, Moment.AFTER, emptied=after == "128", uncertified="Sam Iverson")
    bay.keep_charge()
    bay.finals()
    bay.by = bay.shop.marta
    closed = bay.close()
    for key in ("leak-check-1-by", "charge-1-by"):
        correct(bay, closed, key, ROSA)
        correct(bay, closed, key, "Sam Iverson (no 609 card)")
    assert charged_by(closed) == "Sam Iverson"
    assert whole_book_findings() == []


def test_who_had_no_card_is_told_in_the_language_of_the_page(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, "recovery-1-by", NO_CARD)
    with translation.override("es"):
        form = CorrectionForm(
            None, [one for one in spots(job_sheet(closed.job)) if one.key == "recovery-1-by"]
        )
        help_text = str(form.fields["recovery-1-by"].help_text)
    assert "Lee Okonma (sin tarjeta 609)" in help_text


def test_who_had_left_before_that_day_did_nothing_on_it(bay: Bay, closed: Closing) -> None:
    leaving = LeavingIn(last_day=DAY - ONE, at_once=True)
    leave_shop(bay.shop.lee, leaving, today=DAY, at=bay.later(), by=bay.shop.marta)
    with pytest.raises(Refused, match="Choose one of the answers"):
        correct(bay, closed, "final-readings-1-by", LEE)
    with pytest.raises(Refused, match="Choose one of the answers"):
        correct(bay, closed, "recovery-1-by", NO_CARD)


def test_who_left_at_the_end_of_that_day_may_have_done_it(bay: Bay, closed: Closing) -> None:
    leaving = LeavingIn(last_day=DAY, at_once=True)
    leave_shop(bay.shop.lee, leaving, today=DAY, at=bay.later(), by=bay.shop.marta)
    correct(bay, closed, "final-readings-1-by", LEE)
    assert DoerPutRight.objects.get().person == bay.shop.lee


def test_a_hold_keeps_the_card_of_whoever_a_slip_names(bay: Bay, cans: list[Container]) -> None:
    closed, rosa = bay.straight(cans[0], cans[1]), bay.shop.rosa
    correct(bay, closed, "recovery-1-by", ROSA)
    place_hold(closed.job, why="the insurer writes", at=bay.later(), by=bay.shop.lee)
    assert on_hold(rosa)
    assert on_hold(rosa.cards.get())


def test_a_name_that_only_holds_the_signed_one_is_found(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, "recovery-1-by", NO_CARD)
    drop_guards()
    DoerPutRight.objects.update(name="Lee")
    install_guards()
    assert [one.code for one in whole_book_findings()] == ["doer-differs"]


def test_a_slip_without_its_doer_is_found(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, "recovery-1-by", ROSA)
    drop_guards()
    DoerPutRight.objects.all()._raw_delete("default")
    install_guards()
    assert [one.code for one in whole_book_findings()] == ["doer-differs"]


def test_the_guards_stand_at_the_new_table(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, "recovery-1-by", ROSA)
    with pytest.raises(DatabaseError), transaction.atomic():
        DoerPutRight.objects.update(person=bay.shop.dev)
    with pytest.raises(DatabaseError), transaction.atomic():
        DoerPutRight.objects.all()._raw_delete("default")
    assert CorrectedField.objects.get().doer.person == bay.shop.rosa


def test_a_cleared_job_keeps_who_did_it_and_forging_that_is_found(shop: Shop) -> None:
    cans = cans_of(receive(shop))
    closed, owner, moment = old_job(shop, cans[0], cans[1]), Owner(shop), NOON + ONE
    change = Change("recovery-1-by", DEV, ROSA)
    correct_job(closed.job, [change], why="signed on as Dev", on=moment.date(), at=moment, by=shop.marta)
    later = DAY.replace(year=DAY.year + 3) + 2 * ONE  # the slip is a record of its own day
    clearing = owner.ask(archive_on(shop, later), later)
    owner.confirm(clearing, later + ONE)
    owner.clear(clearing, later + 32 * ONE)
    closed = Closing.objects.get(pk=closed.pk)
    assert job_sheet(closed.job).recoveries[0].stage.by == shop.rosa
    assert whole_book_findings() == []
    drop_guards()
    DoerPutRight.objects.update(person=shop.dev)
    install_guards()
    assert [one.code for one in whole_book_findings()] == ["doer-differs"]


def test_the_same_slip_twice_at_once_is_signed_once(live_shop: Shop) -> None:
    cans = cans_of(receive(live_shop))
    bay = Bay.check_in(live_shop)
    closed = bay.straight(cans[0], cans[1])
    ends = in_threads([lambda: correct(bay, closed, "recovery-1-by", ROSA)] * 2)
    assert sorted(ends) == ["corrected-meanwhile", "done"]
    assert (Correction.objects.count(), DoerPutRight.objects.count()) == (1, 1)
    assert whole_book_findings() == []
