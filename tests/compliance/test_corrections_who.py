"""What a slip could not reach before: who did a stage, and a label that nobody typed at check-in."""

from __future__ import annotations

import re
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.core.certificate_facts import CertificateFacts
from compliance.models import Closing, Correction, DoerPutRight, Stage
from compliance.queries import job_sheet
from compliance.queries.corrections import spots
from compliance.queries.jobs import check_ins
from compliance.queries.people import doers, signed, stages_of_days, work_days
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, correct_job, draft_usage_report
from compliance.sheets.work import work_sheet
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.core.period import Period
from shop.models import Person
from shop.records import drop_guards, install_guards
from shop.services import authorise_person, end_authorisation
from tests.compliance.office import hire
from tests.compliance.work import Bay
from tests.factories import DAY, NOON
from tests.pages import send, text

DEV, ROSA = "Dev Larkin (dev)", "Rosa Tamayo (rosa)"
NO_CARD = "Lee Okonma (no 609 card)"
ONE = timedelta(days=1)


@pytest.fixture
def bay(done: Bay) -> Bay:
    return done


@pytest.fixture
def closed(bay: Bay) -> Closing:
    return Closing.objects.get(job=bay.job)


@pytest.fixture
def without_label(bay: Bay) -> Closing:
    """A job that was stopped half way, of a car whose label nobody typed: only such a one closes without."""
    again = Bay.check_in(bay.shop, label=None, plate="SMP-999", at=bay.later())
    again.up_to_charge_again()
    third = Container.objects.get(pk="K-0003")
    again.draw(third, "466", "128", emptied=True)
    again.keep_charge()
    closing = again.close(stopped="no second can", state_now="half charged", choice="comes back tomorrow")
    bay.clock = again.clock
    return closing


def change(closing: Closing, key: str, new: str, unit: str = "") -> Change:
    old = {spot.key: spot.shown for spot in spots(job_sheet(closing.job))}
    return Change(key, old[key], new, unit)


def correct(bay: Bay, closing: Closing, *typed: tuple[str, str] | tuple[str, str, str]) -> Correction:
    moment = bay.later()
    changes = [change(closing, *one) for one in typed]
    return correct_job(
        closing.job, changes, why="signed on as the wrong one", on=moment.date(), at=moment, by=bay.shop.marta
    )


def plain(said: str) -> str:
    return said.replace("\u00a0", " ")


def printed(closing: Closing) -> CertificateFacts:
    newest = closing.certificates.order_by("-document__version")[0].document
    return rebuild(CertificateFacts, newest.facts)


# --- Who did it


def test_the_right_person_and_card_stand_on_the_paper_and_what_was_signed_stays(
    bay: Bay, closed: Closing
) -> None:
    slip = correct(bay, closed, ("recovery-1-by", ROSA))
    facts = printed(closed)
    assert [one.by for one in facts.recoveries] == ["Rosa Tamayo"]
    assert [(one.stage, one.name, one.card) for one in facts.doers] == [
        ("Recovery", "Rosa Tamayo", "SAMPLE-8120"),
        ("Leak check", "Dev Larkin", "SAMPLE-7741"),
        ("Evacuation", "Dev Larkin", "SAMPLE-7741"),
        ("Charge", "Dev Larkin", "SAMPLE-7741"),
    ]
    (line,) = facts.corrections
    assert (line.what, line.old, line.new, line.by) == ("Recovery: Done by", DEV, ROSA, "Marta Quill")
    assert slip.entry is None
    assert Stage.objects.get(job=closed.job, kind="recovery").by == bay.shop.dev
    assert whole_book_findings() == []


def test_the_stage_stands_on_the_cards_of_who_did_it(bay: Bay, closed: Closing) -> None:
    house = bay.shop.establishment
    correct(bay, closed, ("recovery-1-by", ROSA))
    sums = work_days(house, DAY, DAY)
    assert (sums.stages, sums.covered, sums.doers, sums.cards) == (4, 4, 2, 2)
    stages = {one.person.username: (one.jobs, one.stages) for one in doers(house, DAY)}
    assert (stages["dev"], stages["rosa"]) == ((1, 3), (1, 1))
    told = {one.stage.kind: one.standing.name for one in signed(house, stages_of_days(house, DAY, DAY))}
    assert told["recovery"] == "Rosa Tamayo"
    rows = {row[4]: row[0] for row in work_sheet(house).rows}
    assert (rows["Recovery"], rows["Leak check"]) == ("Rosa Tamayo", "Dev Larkin")


def test_who_charged_is_told_by_the_usage_report_too(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, ("charge-1-by", ROSA))
    charge = printed(closed).charge
    assert charge is not None
    assert charge.by == "Rosa Tamayo"
    period = Period(DAY.replace(day=1), DAY)
    report = draft_usage_report(
        bay.shop.establishment, period, today=DAY + ONE, at=NOON + ONE, by=bay.shop.marta
    )
    assert [(one.name, one.jobs) for one in report.technicians] == [("Rosa Tamayo", 1)]


def test_somebody_without_a_card_is_said_to_have_none(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, ("leak-check-1-by", NO_CARD))
    facts = printed(closed)
    assert facts.leak_checks[0].by == "Lee Okonma"
    (doer,) = [one for one in facts.doers if one.stage == "Leak check"]
    assert doer.card == ""
    assert doer.standing == (
        "Lee Okonma held no Section 609 proof of certification; written down by Dev Larkin."
    )
    assert "Leak check was done by Lee Okonma, who holds no 609 card." in facts.remarks
    sums = work_days(bay.shop.establishment, DAY, DAY)
    assert (sums.stages, sums.lacking) == (4, 1)
    assert [one.uncertified for one in sums.without] == ["Lee Okonma"]
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("issued", "reads"), [(DAY, "Lee Okonma (lee)"), (DAY + ONE, "Lee Okonma (no 609 card)")]
)
def test_a_card_counts_from_its_day_of_issue(bay: Bay, closed: Closing, issued: Any, reads: str) -> None:
    hire(bay.shop, bay.shop.lee, issued, issued, at=NOON + 2 * ONE)
    (spot,) = [one for one in spots(job_sheet(closed.job)) if one.key == "recovery-1-by"]
    assert [one for one in spot.answers if one.startswith("Lee")] == [reads]


def test_whoever_was_not_authorised_that_day_is_not_put_there(bay: Bay, closed: Closing) -> None:
    runs = bay.shop.rosa.authorisations.get()
    end_authorisation(runs, last_day=DAY - ONE, may_sign_on=True, at=bay.later(), by=bay.shop.marta)
    with pytest.raises(Refused, match=r"Rosa Tamayo was not authorised for air conditioning work here on"):
        correct(bay, closed, ("recovery-1-by", ROSA))
    assert not Correction.objects.exists()

    rosa = Person.objects.get(pk=bay.shop.rosa.pk)
    authorise_person(rosa, first_day=DAY, at=bay.later(), by=bay.shop.marta)
    correct(bay, closed, ("recovery-1-by", ROSA))
    assert printed(closed).recoveries[0].by == "Rosa Tamayo"


def test_the_newest_slip_holds_and_both_are_printed(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, ("recovery-1-by", NO_CARD))
    correct(bay, closed, ("recovery-1-by", ROSA))
    correct(bay, closed, ("evacuation-1-by", ROSA))
    facts = printed(closed)
    assert [(one.old, one.new) for one in facts.corrections] == [
        (DEV, NO_CARD),
        (NO_CARD, ROSA),
        (DEV, ROSA),
    ]
    assert [one.name for one in facts.doers if one.stage in ("Recovery", "Evacuation")] == ["Rosa Tamayo"] * 2
    assert work_days(bay.shop.establishment, DAY, DAY).lacking == 0
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("who", "says"),
    [(DEV, "reads so already"), ("Somebody Else (else)", "Choose one of the answers"), ("", "Type what")],
)
def test_nobody_else_can_be_put_there(bay: Bay, closed: Closing, who: str, says: str) -> None:
    with pytest.raises(Refused, match=says):
        correct(bay, closed, ("recovery-1-by", who))
    assert not DoerPutRight.objects.exists()


def test_a_forged_doer_is_found(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, ("recovery-1-by", ROSA))
    drop_guards()
    DoerPutRight.objects.update(person=bay.shop.dev)
    install_guards()
    assert [one.code for one in whole_book_findings()] == ["doer-differs"]


def test_from_the_page_to_the_pdf_and_by_the_owner_only(closed: Closing, marta: Client, dev: Client) -> None:
    address = "/corrections/job/J24-0001/?what=recovery-1-by"
    assert dev.get(address).status_code == 403
    page = marta.get("/corrections/job/J24-0001/")
    assert 'name="what" value="recovery-1-by"' in page.content.decode()
    assert "Done by: Dev Larkin (dev)" in text(page)

    typed = {"recovery-1-by": ROSA, "old-recovery-1-by": DEV, "why": "Dev was still signed on"}
    assert send(dev, address, **typed).status_code == 403
    looked = send(marta, address, **typed)
    assert "What the slip will do" in text(looked)
    seen = re.search(r'name="seen" value="([^"]+)"', looked.content.decode())
    assert seen is not None
    assert send(marta, address, **typed, seen=seen[1]).status_code == 302

    answer = marta.get("/papers/C24-0001/2/pdf/")
    pages = PdfReader(BytesIO(answer.content)).pages
    said = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    assert f"Changed: Recovery: Done by {DEV} → {ROSA}. Dev was still signed on." in said
    assert "Rosa Tamayo held Section 609 proof of certification SAMPLE-8120" in said


# --- A label that was never typed


def test_a_label_that_nobody_typed_is_said_by_a_slip(bay: Bay, without_label: Closing) -> None:
    closed = without_label
    assert printed(closed).system.charge_ug is None
    correct(bay, closed, ("label-charge", "500", "g"), ("label-source", "service information"))
    facts = printed(closed)
    assert (facts.system.charge, facts.system.charge_ug, facts.system.source) == (
        "500 g",
        500_000_000,
        "service information",
    )
    assert facts.charge is not None
    assert facts.charge.deviation_ug == -168_000_000  # 338 g left the can, 6 g stayed in the hoses
    assert [(one.what, one.old, one.new) for one in facts.corrections] == [
        ("Label: Label charge", "", "500 g"),
        ("Label: Where it was read", "", "service information"),
    ]
    label = check_ins([closed.job])[closed.job_id].stage.label
    assert (label.charge.ug, label.source) == (500_000_000, "service information")

    correct(bay, closed, ("label-tolerance", "2", "g"))
    again = printed(closed)
    assert again.charge is not None
    assert (again.system.tolerance, again.charge.verdict) == ("2 g", "outside")
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("label-charge", "500", "g"), "Say also where that was read"),
        (("label-source", "under-hood label"), "Say also what the label asks for"),
        (("label-tolerance", "20", "g"), "Say also what the label asks for"),
        (("label-charge", "0", "g"), "weighs more than nothing"),
    ],
)
def test_half_a_label_is_no_label(bay: Bay, without_label: Closing, typed: Any, says: str) -> None:
    with pytest.raises(Refused, match=says):
        correct(bay, without_label, typed)
    assert not Correction.objects.exists()


def test_the_old_paper_still_says_that_no_label_was_recorded(
    bay: Bay, without_label: Closing, marta: Client
) -> None:
    correct(bay, without_label, ("label-charge", "500", "g"), ("label-source", "under-hood label"))
    assert "Label charge not recorded" in text(marta.get("/papers/C24-0002/1/"))
    assert "Label charge 500 g (17.6 oz)" in plain(text(marta.get("/papers/C24-0002/2/")))
    assert "Label: Label charge – 500 g" in plain(text(marta.get("/corrections/CS24-0001/")))
