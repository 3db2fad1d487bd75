"""Rules of kind label and report: what a changed car has to carry, and what the owner has to send, each with who asks
for it and whether that was read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.paper import Pairs
from compliance.models import Closing, Document
from compliance.queries import packs
from compliance.queries.attention import asking, worth_a_reminder
from compliance.services import AnswerIn, Change, RetrofitIn, answer_pack, check_in, correct_job
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused, Weight
from shop.core.phrase import in_language
from tests.compliance.office import RE_2, sign
from tests.compliance.office import send as post
from tests.compliance.packs_chosen import asked, choose
from tests.compliance.papers.reading import text as words
from tests.compliance.work import Bay, car
from tests.factories import DAY, NOON, Shop
from tests.pages import send, text

LABEL = "The label is on the car"
WISCONSIN = (
    "A car that gets another refrigerant than before carries a label that names the trained technician."
)
# An invented rule, in the shape of a pack: what a state might ask for, and nobody has read.
REPORT = """
[[rule]]
code = "wi-invented-report"
kind = "report"
sent_to = "the invented office"
when = "each January"
sentence = "The owner reports the grams of the year."
cite = "Invented Code 1"
status = "STATUS"
severity = "info"
moment = "keeping"
"""


def changed(shop: Shop, cans: list[Container], *, labelled: bool) -> Bay:
    """The sample job in a car that was changed to R-134a, up to its closing."""
    found = replace(car(), retrofit=RetrofitIn(labelled, fittings=True, removed=True))
    bay = Bay(shop, shop.dev, check_in(found, shop.establishment, on=DAY, at=NOON, by=shop.dev))
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals(vent="44 °F", low_side="30 psi", high_side="180 psi")
    return bay


def on_paper() -> str:
    first = Closing.objects.get().certificates.order_by("document__version")[0]
    facts = rebuild(CertificateFacts, first.document.facts)
    return " ".join(words(certificate(facts)).split())


def label_lines() -> list[tuple[dict[str, str], str]]:
    """The lines about a label on the car, with who asks for each."""
    facts = rebuild(CertificateFacts, Closing.objects.get().certificates.get().document.facts)
    blocks = certificate(facts).blocks
    mine = [one for one in blocks if isinstance(one, Pairs) and one.title == "Label on the car"]
    return [({str(name): str(value) for name, value in one.rows}, str(one.asked_by)) for one in mine]


def answer(bay: Bay, code: str, said: str, why: str = "", **by: Any) -> None:
    answer_pack(bay.job, code, {LABEL: AnswerIn(said, why)}, at=bay.later(), by=by.get("by", bay.by))


# --- Labels


def test_a_label_that_the_car_lacks_is_asked_about_and_never_stops_the_closing(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "WI")
    bay = changed(shop, cans, labelled=False)
    found = asked(bay)
    told, guessed = found["wi-changed-label"], found["us-retrofit-label"]
    assert (told.weight, told.basis) == (Weight.WARNS, "State rule: ATCP 136.16(4), text read")
    assert told.message.startswith("Nobody has written down whether the label is on this car.")
    assert guessed.weight is Weight.WARNS
    assert "From memory, not checked: A car that was changed" in guessed.message

    answer(bay, "wi-changed-label", "put on now")
    assert "wi-changed-label" not in asked(bay)
    assert "us-retrofit-label" in asked(bay)


def test_the_certificate_says_which_label_is_asked_for_and_by_whom(shop: Shop, cans: list[Container]) -> None:
    choose(shop, "WI")
    bay = changed(shop, cans, labelled=False)
    answer(bay, "wi-changed-label", "put on now")
    bay.close()
    said = {"Asked for": WISCONSIN, LABEL: "Put on now.", "Written in": "ATCP 136.16(4)"}
    assert label_lines() == [(said, "State rule")]
    assert "label that names the trained technician" in on_paper()
    assert "not found on the car" not in on_paper()  # it was not at check-in, and is there now
    slip = Change("check-in-1-plate", "SMP-417", "SMP-471")
    correct_job(bay.job, [slip], why="misread", on=DAY, at=bay.later(), by=shop.marta)
    newest = Document.objects.get(kind="certificate", version=2)
    assert "not found on the car" not in newest.facts
    assert "Subpart G" not in on_paper()  # known from memory, so it stands on no paper


def test_a_label_that_was_seen_at_check_in_is_printed_and_not_asked_about(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "WI")
    bay = changed(shop, cans, labelled=True)
    assert not {"wi-changed-label", "us-retrofit-label"} & asked(bay).keys()
    bay.close()
    assert label_lines()[0][0][LABEL] == "Was on the car."


def test_a_label_about_which_nobody_said_anything_is_said_to_be_that(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "WI")
    changed(shop, cans, labelled=False).close()
    assert label_lines()[0][0][LABEL] == "Not written down."
    assert "not found on the car: a retrofit label" in on_paper()


def test_a_car_that_was_not_changed_has_no_such_line(shop: Shop, cans: list[Container]) -> None:
    choose(shop, "WI")
    bay = Bay.check_in(shop)
    bay.straight(cans[0], cans[1])
    assert label_lines() == []


def test_a_missing_label_needs_a_reason_and_somebody_who_looked(shop: Shop, cans: list[Container]) -> None:
    choose(shop, "WI")
    bay = changed(shop, cans, labelled=False)
    with pytest.raises(Refused, match="Say why the label is not on the car"):
        answer(bay, "wi-changed-label", "not on the car")
    with pytest.raises(Refused, match="Who looked at the car answers"):
        answer(bay, "wi-changed-label", "put on now", by=shop.lee)
    answer(bay, "wi-changed-label", "not on the car", "customer wants none")
    bay.close()
    assert label_lines()[0][0][LABEL] == "Not on the car: customer wants none."


def test_nobody_is_led_to_a_page_that_asks_them_nothing(
    shop: Shop, cans: list[Container], dev: Client, lee: Client
) -> None:
    bay = changed(
        shop, cans, labelled=False
    )  # no state is chosen: only the federal label, for who is at the car
    led = [
        f"{bay.job.number}/asked/" in one.get(f"/bay/{bay.job.number}/").content.decode()
        for one in (dev, lee)
    ]
    assert led == [True, False]
    assert "state and local" not in text(dev.get(f"/bay/{bay.job.number}/asked/"))


def test_the_label_is_answered_on_the_page_of_the_job(
    shop: Shop, cans: list[Container], dev: Client, lee: Client
) -> None:
    choose(shop, "WI")
    bay = changed(shop, cans, labelled=False)
    address = f"/bay/{bay.job.number}/asked/"
    assert "Label on the car" in text(dev.get(address))
    assert "Label on the car" not in text(lee.get(address))
    led = [address in one.get(f"/bay/{bay.job.number}/").content.decode() for one in (dev, lee)]
    assert led == [True, True]  # Wisconsin has something said to the customer, too
    typed = {"code": "wi-changed-label", "wi-changed-label-item0": "put on now"}
    assert send(dev, address, **typed).status_code == 302
    assert "wi-changed-label" not in asked(bay)


# --- Reports


@pytest.fixture
def invented(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: Any) -> Iterator[None]:
    """Wisconsin's pack with one invented report in it, known as the test says."""
    for path in packs.FOLDER.glob("*.toml"):
        more = REPORT.replace("STATUS", request.param) if path.name.startswith("us-wi") else ""
        (tmp_path / path.name).write_text(path.read_text(encoding="utf-8") + more, encoding="utf-8")
    monkeypatch.setattr(packs, "FOLDER", tmp_path)
    packs.packs_on_file.cache_clear()
    yield
    packs.packs_on_file.cache_clear()


@pytest.mark.parametrize(
    ("invented", "said"),
    [
        ("memory", "From memory, not checked: The owner reports the grams of the year."),
        ("secondary", "Known second-hand, not read: The owner reports the grams of the year."),
    ],
    indirect=["invented"],
)
def test_the_owner_is_told_of_a_report_with_what_its_source_is_worth(
    shop: Shop, invented: None, said: str
) -> None:
    choose(shop, "WI")
    (ask,) = [one for one in asking(shop.establishment, DAY, shop.marta) if "report" in one.cause]
    assert str(ask.text).startswith(
        f"A report is asked for: {said} To: the invented office. When: each January."
    )
    assert "State rule: Invented Code 1" in ask.text
    assert ask.href == "/records/rules/wi-invented-report/"
    assert ask.cause in [one.cause for one in worth_a_reminder(shop.establishment, DAY)]
    assert not [one for one in asking(shop.establishment, DAY, shop.dev) if "report" in one.cause]
    assert in_language(ask.text, lambda words: words) == ask.text


def test_without_such_a_rule_only_the_equipment_statement_is_asked_for(shop: Shop) -> None:
    asks = [str(one.text) for one in asking(shop.establishment, DAY, shop.marta)]
    assert not [one for one in asks if one.startswith("A report is asked for")]
    (statement,) = [one for one in asks if "no equipment statement is on file" in one]
    assert statement.endswith("Federal law: 40 CFR 82.42(a)(1), text read.")


def test_the_law_is_not_named_for_a_machine_that_came_after_the_statement(shop: Shop) -> None:
    """40 CFR 82.42(a)(1) asks for a statement once; the shop's own list asks for the other machine."""
    post(shop, sign(shop, machines=(RE_2,)))
    (statement,) = [
        str(one.text)
        for one in asking(shop.establishment, DAY, shop.marta)
        if "equipment statement" in one.text
    ]
    assert statement == "RE-1: no equipment statement is on file."
