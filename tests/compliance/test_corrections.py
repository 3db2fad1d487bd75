"""Correction slips: what was wrong on a closed job is put right, and nothing that was signed is edited."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.correcting import difference
from compliance.models import Closing, Correction, Document
from compliance.queries import job_sheet
from compliance.queries.correcting import booked_legs, closed_sheet
from compliance.queries.corrections import spots
from compliance.queries.facts import job_facts
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, correct_job, look_at_correction, withdraw_document
from compliance.services.closing import job_legs
from inventory.models import Container, Movement
from inventory.queries import containers, last_ticket
from inventory.services import CountedIn, CountIn, record_count
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.core.mass import grams
from tests.compliance.work import Bay
from tests.factories import DAY, ticket_in


@pytest.fixture
def bay(done: Bay) -> Bay:
    return done


@pytest.fixture
def closed(bay: Bay) -> Closing:
    return Closing.objects.get(job=bay.job)


def change(closing: Closing, key: str, text: str, unit: str = "") -> Change:
    """What somebody types who sees the job as it stands."""
    old = {spot.key: spot.shown for spot in spots(job_sheet(closing.job))}
    return Change(key, old.get(key, ""), text, unit)


def key_of(closing: Closing, words: str) -> str:
    """The key of what reads so on the page, for example "K-0002 after"."""
    return next(spot.key for spot in spots(job_sheet(closing.job)) if spot.label == words)


def correct(bay: Bay, closing: Closing, *changes: Change, why: str = "misread") -> Correction:
    moment = bay.later()
    return correct_job(closing.job, changes, why=why, on=moment.date(), at=moment, by=bay.shop.marta)


def after(closing: Closing, text: str, can: str = "K-0002") -> Change:
    return change(closing, key_of(closing, f"{can} after"), text, "g")


def printed(closing: Closing) -> CertificateFacts:
    newest = closing.certificates.order_by("-document__version")[0].document
    return rebuild(CertificateFacts, newest.facts)


def put_in(closing: Closing) -> int:
    """What the newest certificate prints as put into the vehicle, in micrograms."""
    charge = printed(closing).charge
    assert charge is not None
    return charge.vehicle_ug


def booked(closing: Closing, purpose: str) -> int:
    """What left cans for this purpose by the closing and its slips together, in micrograms."""
    legs = [leg for leg in booked_legs(closing) if leg.purpose == purpose]
    out = sum(leg.mass.ug for leg in legs if leg.source.startswith("K-"))
    return out - sum(leg.mass.ug for leg in legs if leg.target.startswith("K-"))


def test_a_job_worked_out_again_is_booked_as_it_was(closed: Closing) -> None:
    sheet, wrong = closed_sheet(closed)
    assert difference(booked_legs(closed), job_legs(sheet, job_facts(sheet), wrong)) == ()


def test_a_misread_weight_is_put_right_on_paper_and_in_the_book(bay: Bay, closed: Closing) -> None:
    before = Document.objects.get(certificate__closing=closed)
    slip = correct(bay, closed, after(closed, "298"))
    assert slip.number == "CS24-0001"
    assert put_in(closed) == 498_000_000 == booked(closed, "charged")
    assert Movement.objects.balances(["K-0002"])["K-0002"] == grams(340 - 166)
    rows = Movement.objects.filter(entry=slip.entry)
    assert [(row.source_id, row.target_id, row.mass) for row in rows] == [("vehicles", "K-0002", grams(5))]
    assert Document.objects.get(pk=before.pk).facts == before.facts
    assert whole_book_findings() == []


def test_the_next_version_says_what_it_read_and_should_read_and_why_and_who(
    bay: Bay, closed: Closing
) -> None:
    correct(bay, closed, after(closed, "298"), why="misread the display")
    (line,) = printed(closed).corrections
    assert (line.slip, line.what, line.old, line.new) == (
        "CS24-0001",
        "Weigh ticket: K-0002 after",
        "293 g",
        "298 g",
    )
    assert (line.why, line.by) == ("misread the display", "Marta Quill")
    assert printed(closed).replaces.endswith("Slip CS24-0001, Marta Quill, Apr\u00a02 2024.")


def test_who_worked_and_who_signed_stay_who_they_were(bay: Bay, closed: Closing) -> None:
    first = printed(closed)
    correct(bay, closed, after(closed, "298"), change(closed, "evacuation-1-deepest", "610 micron"))
    second = printed(closed)
    assert (second.signed, second.doers, second.made_by) == (first.signed, first.doers, first.made_by)
    assert second.evacuations[0].by == "Dev Larkin"
    assert second.evacuations[0].deepest == "610 micron"


@pytest.mark.parametrize(
    ("key", "text", "where"),
    [
        ("check-in-1-customer", "Ines Calloway-Reed", lambda f: f.car.customer),
        ("check-in-1-odometer", "118402", lambda f: f.car.odometer),
        ("vehicle-vin", "ZZZ1SAMPXE7000417", lambda f: f.car.vin),
        ("vehicle-description", "2015 sedan, blue", lambda f: f.car.description),
        ("label-source", "service information", lambda f: f.system.source),
        ("leak-check-1-places", "compressor", lambda f: f.leak_checks[0].places),
        ("final-readings-1-vent", "45 °F", lambda f: f.final.vent),
    ],
)
def test_a_fact_that_moves_no_mass_is_put_right_on_paper_alone(
    bay: Bay, closed: Closing, key: str, text: str, where: object
) -> None:
    slip = correct(bay, closed, change(closed, key, text))
    assert where(printed(closed)) == text  # type: ignore[operator]
    assert slip.entry is None
    assert whole_book_findings() == []


def test_a_corrected_label_changes_the_verdict(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, change(closed, "label-charge", "550", "g"))
    facts = printed(closed)
    assert facts.charge is not None
    assert (facts.system.charge, facts.charge.deviation_ug, facts.charge.verdict) == (
        "550 g",
        -47_000_000,
        "outside",
    )


def test_hoses_and_released_are_put_right_together(bay: Bay, closed: Closing) -> None:
    correct(
        bay,
        closed,
        change(closed, "charge-hoses", "9", "g"),
        change(closed, "charge-released", "4", "g"),
        change(closed, "charge-released_why", "purged into the open"),
    )
    assert (booked(closed, "hoses"), booked(closed, "released"), booked(closed, "charged")) == (
        9_000_000,
        4_000_000,
        496_000_000,
    )
    assert whole_book_findings() == []


def test_a_cylinders_weight_is_put_right(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, change(closed, key_of(closed, "RC-02 after"), "7960", "g"))
    assert printed(closed).recoveries[0].out_ug == 204_000_000
    assert whole_book_findings() == []


def test_the_can_is_known_by_its_corrected_weight_from_then_on(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, after(closed, "298"))
    can = containers(bay.shop.establishment).get(pk="K-0002")
    last = last_ticket(can)
    assert last is not None
    assert (str(last.reading), can.last_text, can.last_gross) == ("298 g", "298", grams(298))


def test_a_second_slip_stands_on_the_first(bay: Bay, closed: Closing) -> None:
    correct(bay, closed, after(closed, "298"))
    second = correct(bay, closed, after(closed, "293"), why="it was 293 after all")
    assert second.fields.get().old == "298 g"
    assert booked(closed, "charged") == 503_000_000
    assert printed(closed).version == 3
    assert [one.slip for one in printed(closed).corrections] == ["CS24-0001", "CS24-0002"]
    assert whole_book_findings() == []


def test_after_a_count_the_correction_explains_its_difference(bay: Bay, closed: Closing) -> None:
    can = Container.objects.get(pk="K-0002")
    counted = CountIn(DAY, [CountedIn(can, "weighed", ticket_in(bay.shop, "288"))])
    record_count(counted, bay.shop.establishment, at=bay.later(), by=bay.shop.lee)
    held = Movement.objects.balances(["K-0002", "unexplained"])
    correct(bay, closed, after(closed, "288"))
    now = Movement.objects.balances(["K-0002", "unexplained"])
    assert now["K-0002"] == held["K-0002"]
    assert (held["unexplained"], now["unexplained"]) == (grams(7), grams(2))
    assert whole_book_findings() == []


def test_a_weight_on_which_the_next_job_stands_is_not_changed_against_it(bay: Bay, closed: Closing) -> None:
    other = Bay.check_in(bay.shop, plate="SMP-999", at=bay.clock)
    other.up_to_charge_again()
    other.draw(Container.objects.get(pk="K-0002"), "293", "200")
    with pytest.raises(Refused, match="K-0002 weighed 293 g on Apr 2 2024"):
        correct(bay, closed, after(closed, "330"))
    assert not Correction.objects.exists()


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("", "g", "Type what should stand there"),
        ("-4", "g", "not below zero"),
        ("abc", "g", "number"),
        ("293", "g", "reads so already"),
        ("470", "g", "got heavier"),
        ("298", "stone", "Choose the unit"),
    ],
)
def test_a_weight_that_cannot_be_is_refused(
    bay: Bay, closed: Closing, text: str, unit: str, says: str
) -> None:
    with pytest.raises(Refused, match=says):
        correct(bay, closed, change(closed, key_of(closed, "K-0002 after"), text, unit))
    assert not Correction.objects.exists()


def test_only_the_owner_signs_and_says_why(bay: Bay, closed: Closing) -> None:
    with pytest.raises(Refused, match=r"Only the owner.*Say what happened"):
        look_at_correction(closed.job, [after(closed, "298")], why="", by=bay.shop.dev)


def test_what_was_corrected_meanwhile_is_looked_at_again(bay: Bay, closed: Closing) -> None:
    stale = after(closed, "299")
    correct(bay, closed, after(closed, "298"))
    with pytest.raises(Refused, match="corrected meanwhile; it reads 298 g now"):
        correct(bay, closed, stale)


def test_looking_writes_nothing(bay: Bay, closed: Closing) -> None:
    seen = look_at_correction(closed.job, [after(closed, "298")], why="misread", by=bay.shop.marta)
    assert seen.before is not None
    assert seen.after is not None
    assert (seen.before.vehicle, seen.after.vehicle) == (grams(503), grams(498))
    assert not Correction.objects.exists()
    assert Document.objects.count() == 1


def test_the_old_version_says_replaced(bay: Bay, closed: Closing, client: Client) -> None:
    correct(bay, closed, after(closed, "298"))
    assert "Replaced" in client.get("/check/C24-0001/1/").content.decode()
    assert "Current" in client.get("/check/C24-0001/2/").content.decode()


ALLOWED = (
    ({"K-0001 before": "465"}, 502),
    ({"K-0001 after": "130"}, 501),
    ({"K-0002 before": "466"}, 505),
    ({"K-0001 after": "127", "K-0002 after": "290"}, 507),
    ({"Left in the hoses": "0"}, 509),
    ({"Purged": "3", "Left in the hoses": "5"}, 501),
    ({"RC-02 before": "7750", "K-0002 after": "300"}, 496),
    ({"K-0002 after": "10.4"}, None),  # ounces: 10.4 oz is 294.8 g
)


@pytest.mark.parametrize(("typed", "vehicle"), ALLOWED, ids=[" ".join(one[0]) for one in ALLOWED])
def test_any_allowed_correction_leaves_the_book_whole_and_the_paper_equal_to_it(
    bay: Bay, closed: Closing, typed: dict[str, str], vehicle: int | None
) -> None:
    unit = "g" if vehicle is not None else "oz"
    correct(
        bay, closed, *(change(closed, key_of(closed, words), text, unit) for words, text in typed.items())
    )
    assert put_in(closed) == booked(closed, "charged")
    assert vehicle is None or put_in(closed) == vehicle * 1_000_000
    facts = printed(closed)
    legs = [leg for leg in booked_legs(closed) if leg.purpose == "recovered"]
    out = sum(leg.mass.ug * (1 if leg.source == "vehicles" else -1) for leg in legs)
    assert sum(one.out_ug for one in facts.recoveries) == out
    sheet, wrong = closed_sheet(closed)
    assert difference(booked_legs(closed), job_legs(sheet, job_facts(sheet), wrong)) == ()
    assert whole_book_findings() == []


def test_a_withdrawn_paper_gets_no_next_version(bay: Bay, closed: Closing) -> None:
    paper = Document.objects.get(certificate__closing=closed)
    withdraw_document(paper, why="another car's", at=bay.later(), by=bay.shop.marta)
    with pytest.raises(Refused, match="is withdrawn"):
        correct(bay, closed, after(closed, "298"))


def test_a_slip_is_found_by_its_number_and_the_car_by_its_right_plate(
    bay: Bay, closed: Closing, marta: Client
) -> None:
    correct(bay, closed, change(closed, "check-in-1-plate", "SMP-471"))
    for words in ("CS24-0001", "SMP-471"):
        answer = marta.get("/find/", {"q": words}, follow=True)
        assert "J24-0001" in answer.content.decode(), words
