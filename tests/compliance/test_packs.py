"""The packs of a shop: chosen by the owner from a day on, asked at closing, kept with the closing and on its paper."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from pypdf import PdfReader

from compliance.core.stages import LeakResult
from compliance.management.commands.packs import WORDS, marked_words
from compliance.models import Closing, Document, PackAnswer, PackChoice
from compliance.queries.packs import FOLDER, job_rules, keep_until, rules_asked
from compliance.queries.sheets import job_sheet
from compliance.services import (
    AnswerIn,
    Change,
    RetrofitIn,
    answer_pack,
    check_in,
    correct_job,
)
from inventory.models import Container
from inventory.services import CylinderIn, add_cylinder
from shop.core.findings import Refused, Weight
from shop.core.mass import Unit
from shop.services import add_equipment, change_rule
from tests.compliance.packs_chosen import asked, charged, choose
from tests.compliance.work import Bay, Moment, car
from tests.factories import DAY, EQUIPMENT, NOON, Shop, cans_of, reading, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


def facts_of(closing: Closing) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(closing.facts)["asked"]
    return said


def test_without_a_choice_the_federal_baseline_holds_and_that_no_state_is_chosen_is_said(
    shop: Shop, cans: list[Container]
) -> None:
    rules = rules_asked(shop.establishment, DAY)
    assert [pack.id for pack in rules.asked.packs] == ["us"]
    assert rules.names == "federal baseline 2026-11, no state chosen"
    assert "No state is chosen" in rules.state_said
    assert asked(charged(shop, cans)) == {}


def test_a_choice_holds_from_its_day_on_and_a_later_one_takes_its_place(shop: Shop) -> None:
    choose(shop, "WI")
    choose(shop, "CA", "us-ca-bay", from_day=DAY + timedelta(days=30))
    house = shop.establishment
    assert rules_asked(house, DAY - timedelta(days=1)).state == ""
    assert rules_asked(house, DAY).names == "federal baseline 2026-11, Wisconsin 2026-11"
    assert [pack.id for pack in rules_asked(house, DAY + timedelta(days=30)).asked.packs] == [
        "us",
        "us-ca",
        "us-ca-bay",
    ]


@pytest.mark.parametrize(
    ("state", "local", "from_day", "code"),
    [
        ("ZZ", (), DAY, "state-unknown"),
        ("WI", (), DAY - timedelta(days=1), "packs-backdated"),
        ("CA", ("us-ca-moon",), DAY, "local-unknown"),
        ("WI", ("us-ca-bay",), DAY, "local-elsewhere"),
    ],
)
def test_a_choice_that_cannot_be_is_refused(
    shop: Shop, state: str, local: tuple[str, ...], from_day: date, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        choose(shop, state, *local, from_day=from_day)
    assert [one.code for one in refused.value.findings] == [code]
    assert not PackChoice.objects.exists()


def test_a_state_where_nothing_was_found_and_one_where_nobody_looked_are_two_things(shop: Shop) -> None:
    choose(shop, "TX")
    texas = rules_asked(shop.establishment, DAY)
    assert texas.state_said == (
        "We looked for rules of Texas on Nov 25 2026 and found none; that is not proof that there is none."
    )
    choose(shop, "OH")
    ohio = rules_asked(shop.establishment, DAY)
    assert ohio.state_said == "Nobody has looked for rules of Ohio yet. They may be stricter."
    assert ohio.names == "federal baseline 2026-11, Ohio: not looked for"


def test_wisconsin_stops_a_charge_before_a_can_goes_on_when_nobody_looked_for_leaks(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "WI")
    bay = Bay.check_in(shop)
    bay.recover()
    bay.evacuate()
    with pytest.raises(Refused, match="No leak check of this car was written down") as refused:
        bay.weigh(cans[0], "466", Moment.BEFORE)
    (found,) = refused.value.findings
    assert (found.code, found.basis) == ("wi-look-for-leaks", "State rule: ATCP 136.16(2), text read")
    assert not bay.job.can_tickets.exists()
    bay.leak_check()
    bay.weigh(cans[0], "466", Moment.BEFORE)


def test_a_leak_check_left_out_after_the_charge_began_stops_the_closing(
    shop: Shop, cans: list[Container]
) -> None:
    bay = charged(shop, cans, leak_check=False)  # the pack is chosen while the car is in the bay
    choose(shop, "WI")
    assert asked(bay)["wi-look-for-leaks"].weight is Weight.BLOCKS
    with pytest.raises(Refused, match="No leak check of this car was written down"):
        bay.close()
    assert not Closing.objects.exists()
    bay.leak_check()
    assert "wi-look-for-leaks" not in asked(bay)


def test_a_retrofit_label_is_spoken_of_only_where_a_car_was_changed(shop: Shop) -> None:
    plain = job_rules(job_sheet(Bay.check_in(shop).job)).told
    changed = replace(car(plate="SMP-500"), retrofit=RetrofitIn(False, False, False))
    job = check_in(changed, shop.establishment, on=DAY, at=NOON, by=shop.dev)
    told = job_rules(job_sheet(job)).told
    assert [one.rule.code for one in told if one not in plain] == ["us-retrofit-label"]


def test_a_leak_found_and_not_repaired_is_stopped_by_wisconsin_beside_the_shop_rule(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "WI")
    bay = charged(shop, cans)
    bay.leak_check(LeakResult.FOUND, "condenser")
    assert asked(bay)["wi-no-charge-on-leak"].weight is Weight.BLOCKS
    bay.close(stopped="leak found", state_now="charged, leaking", choice="will come back")
    assert Closing.objects.get().charged is False


def test_the_bay_area_only_warns_since_nobody_read_its_text(shop: Shop, cans: list[Container]) -> None:
    choose(shop, "CA", "us-ca-bay")
    bay = charged(shop, cans, leak_check=False)
    found = asked(bay)["ca-bay-look-for-leaks"]
    assert found.weight is Weight.WARNS
    assert "Known second-hand, not read:" in found.message
    assert found.basis == (
        "Local rule: Regulation 12 Rule 7, section 301, from a second-hand source, text not read"
    )
    assert bay.close().charged


def test_californias_readings_from_memory_warn_until_they_are_taken(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "CA")
    bay = charged(shop, cans, finals=False)
    found = asked(bay)
    assert found["ca-pressures"].message.startswith("Not written down: low side. From memory, not checked:")
    assert "ca-outlet" not in found  # the vent was read
    assert {one.weight for one in found.values()} == {Weight.WARNS}
    bay.finals(vent="44 °F", low_side="30 psi", high_side="180 psi")
    assert set(asked(bay)) == {"ca-checklist"}


def test_a_machine_whose_standard_is_for_another_refrigerant_stops_the_job_by_federal_law(
    shop: Shop, cans: list[Container]
) -> None:
    wrong = replace(EQUIPMENT[1], code="RE-9", standard="SAE J2843, tested by Sample Laboratories")
    shop.equipment["RE-1"] = add_equipment(wrong, shop.establishment, today=DAY, at=NOON, by=shop.marta)
    bay = charged(shop, cans)
    found = asked(bay)["us-machine-standard"]
    assert found.weight is Weight.BLOCKS
    assert found.message.startswith("The plate of RE-9 names no standard that covers R-134a")
    assert found.basis == "Federal law: 40 CFR 82.34(a)(1), 82.36(a) and (b)(1), text read"


def test_a_cylinder_whose_stamp_is_too_old_is_said(shop: Shop) -> None:
    tare, water = reading("17.1", Unit.LB), reading("26.2", Unit.LB)
    stamped = CylinderIn("RC-07", "R-134a", tare, water, gross=tare, requalified_on=date(2019, 3, 1))
    longer = {"key": "cylinder_years", "value": "12", "basis": "its marks, 49 CFR 180.209(a) Table 1"}
    change_rule(shop.establishment, **longer, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    bay = Bay.check_in(shop)
    bay.recover(cylinder=add_cylinder(stamped, shop.establishment, on=DAY, at=NOON, by=shop.lee))
    found = asked(bay)["us-cylinder-retest"]
    assert found.message.startswith("The stamp of RC-07 is more than five years old.")
    assert found.weight is Weight.WARNS


def test_a_car_of_2021_with_r134a_asks_for_a_look_at_its_label(shop: Shop, cans: list[Container]) -> None:
    bay = Bay.check_in(shop, vin="1FAPP6ARXMH123456", plate="")
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    found = asked(bay)["us-134a-since-2021"]
    assert found.message.startswith("The VIN says model year 2021, and R-134a is written down.")
    assert found.weight is Weight.WARNS


def test_a_closing_keeps_its_packs_with_their_hashes_and_its_certificate_names_them(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "CA")
    closing = charged(shop, cans).close()
    kept = facts_of(closing)
    packs = {pack.key: pack.sha256 for pack in rules_asked(shop.establishment, DAY).asked.packs}
    assert set(packs) == {"us-2026-11", "us-ca-2024-12"}  # the editions of April 2024
    assert kept["packs"] == [list(one) for one in packs.items()]
    assert kept["state"] == "CA"
    assert {"us-card", "ca-deposit", "ca-checklist"} <= set(kept["rules"])
    document = closing.certificates.get().document
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(document.pdf)).pages)
    assert "Rules looked at: federal baseline 2026-11, California 2024-12." in " ".join(text.split())


def test_a_choice_made_later_changes_nothing_that_was_closed(shop: Shop, cans: list[Container]) -> None:
    closing = charged(shop, cans).close()
    choose(shop, "WI")
    closing.refresh_from_db()
    assert [key for key, _ in facts_of(closing)["packs"]] == ["us-2026-11"]


def test_a_list_is_answered_item_by_item_and_the_newest_answer_holds(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "CA")
    bay = charged(shop, cans)
    (layer,) = job_rules(job_sheet(bay.job)).answered
    items = layer.rule.texts("items")
    assert len(items) == 12  # 16 CCR 3366(a)(1) to (12)
    assert asked(bay)["ca-checklist"].message.startswith("12 of 12 have no answer yet: hoses")
    answers = {item: AnswerIn("ok") for item in items[1:]}
    answer_pack(bay.job, "ca-checklist", answers, at=bay.later(), by=bay.by)
    assert asked(bay)["ca-checklist"].message.startswith("1 of 12 have no answer yet")
    for said in ("fault", "ok"):
        answer_pack(bay.job, "ca-checklist", {items[0]: AnswerIn(said)}, at=bay.later(), by=bay.by)
    why = AnswerIn("not applicable", "no identifier on site")
    answer_pack(bay.job, "ca-checklist", {items[11]: why}, at=bay.later(), by=bay.by)
    assert "ca-checklist" not in asked(bay)
    document = bay.close().certificates.get().document
    printed = json.loads(document.facts)["asked"]
    assert printed[0]["title"] == "Looked at"
    assert printed[0]["answers"][0] == [items[0], "ok", ""]
    wrong, moment = Change("check-in-1-customer", "Ines Calloway", "Ines Calloway-Reed"), bay.later()
    correct_job(bay.job, [wrong], why="name", on=moment.date(), at=moment, by=shop.marta)
    again = Document.objects.get(number=document.number, version=2)
    assert json.loads(again.facts)["asked"] == printed
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(document.pdf)).pages)
    assert "Not applicable: no identifier on site." in " ".join(text.split())
    assert PackAnswer.objects.count() == 14


def test_an_item_that_was_not_looked_at_says_why_and_an_unasked_one_is_refused(
    shop: Shop, cans: list[Container]
) -> None:
    choose(shop, "CA")
    bay = charged(shop, cans)
    item = job_rules(job_sheet(bay.job)).answered[0].rule.texts("items")[0]
    for code, answers in (
        ("ca-checklist", {item: AnswerIn("not accessible")}),
        ("ca-checklist", {"paint": AnswerIn("ok")}),
        ("wi-say-before", {item: AnswerIn("ok")}),
    ):
        with pytest.raises(Refused):
            answer_pack(bay.job, code, answers, at=bay.later(), by=bay.by)
    assert not PackAnswer.objects.exists()


def test_how_long_a_record_is_kept_is_the_longest_that_anybody_asks_for(shop: Shop) -> None:
    assert keep_until(shop.establishment, "cards", DAY).years == 3
    choose(shop, "CA")
    kept = keep_until(shop.establishment, "can sales", DAY)
    assert (kept.years, kept.last_day(date(2024, 2, 29))) == (5, date(2029, 2, 28))
    assert kept.layer is not None
    assert kept.layer.rule.cite == "17 CCR 95369"


# --- The command


def test_the_command_lists_the_packs_and_says_which_line_of_a_file_is_wrong(tmp_path: Path) -> None:
    out = StringIO()
    call_command("packs", "list", stdout=out)
    assert "us-wi-2026-11: Wisconsin" in out.getvalue()
    assert "TX: Texas, none found on 2026-11-25" in out.getvalue()
    pack = tmp_path / "us-wi-2027-01.toml"
    text = (FOLDER / "us-wi-2026-11.toml").read_text("utf-8")
    pack.write_text(text.replace('severity = "blocks"', 'severity = "stops"', 1), "utf-8")
    line = text[: text.index('severity = "blocks"')].count("\n") + 1
    out = StringIO()
    with pytest.raises(SystemExit):
        call_command("packs", "check", str(pack), stdout=out)
    assert f"line {line}: " in out.getvalue()
    pack.write_text(text, "utf-8")
    call_command("packs", "check", str(pack), stdout=out)
    assert "us-wi-2026-11 is a pack of 7 rules." in out.getvalue()


def test_every_sentence_of_the_packs_is_marked_for_translation() -> None:
    """After a change in a pack: ``manage.py packs words``."""
    assert WORDS.read_text("utf-8") == marked_words()
