"""The pages of the packs: who asks for what, the owner's choice, and what is answered on a job."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.core.packs import Layer, Moment
from compliance.core.packs.shapes import GATES
from compliance.core.packs.telling import details
from compliance.core.rules.packs import items_of
from compliance.core.stages import LeakResult
from compliance.models import PackAnswer, PackChoice
from compliance.queries.packs import job_rules, packs_on_file
from compliance.queries.sheets import job_sheet
from compliance.services import (
    AnswerIn,
    answer_pack,
)
from inventory.models import Container
from shop.core.findings import Refused
from tests.compliance.packs_chosen import asked, charged, choose, today_of
from tests.compliance.sheets.reading import sheet
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive
from tests.pages import text

pytestmark = pytest.mark.one_engine

SAID = "No refrigerant may be added to a system that leaks"


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


def test_everybody_reads_the_rules_and_whose_they_are(shop: Shop, dev: Client, marta: Client) -> None:
    choose(shop, "CA")
    page = marta.get("/records/rules/").content.decode()
    assert "Federal law: federal baseline 2026-11" in page
    assert "Shop rules" in page
    assert "Choose state and local packs" in page
    assert "Choose state and local packs" not in dev.get("/records/rules/").content.decode()
    one = dev.get("/records/rules/us-card/").content.decode()
    for said in ("40 CFR 82.34(a)(2)", "text read", "Stops", "not looked up"):
        assert said in one
    assert dev.get("/records/rules/us-nothing/").status_code == 404


def test_a_rules_page_speaks_in_words(shop: Shop, dev: Client) -> None:
    page = text(dev.get("/records/rules/us-card/"))
    for said in ("Federal law, 40 CFR 82.34(a)(2)", "whoever does the work holds a 609 card", "has to be so"):
        assert said in page
    for word in ("card-in-force", "gate", "closing Kind"):
        assert word not in page
    bought = text(dev.get("/records/rules/us-cylinder-purchase/"))
    assert "For containers of more than 907 g (2.0 lb)" in bought
    assert "May be bought by who has what the rule asks for" in bought


@pytest.mark.parametrize("layer", [Layer(pack, rule) for pack in packs_on_file() for rule in pack.rules])
def test_every_rule_on_file_has_words(layer: Layer) -> None:
    told = dict(details(layer.rule))
    coded = {*GATES, *Moment, "needs basis"}
    assert coded.isdisjoint(told.values()), told


def test_the_rules_of_another_day_are_those_of_its_editions(shop: Shop, marta: Client) -> None:
    choose(shop, "CA")
    page = marta.get("/records/rules/?day=2024-12-31").content.decode()
    assert "California 2024-12" in page
    assert "deposit of ten dollars" in page
    assert "deposit of ten dollars" not in marta.get("/records/rules/?day=2025-01-01").content.decode()
    assert "16 CCR 3358, from the day of the invoice" in page
    assert "Can sales" in page
    assert "Rules in force" in marta.get("/records/rules/?day=soon").content.decode()


def test_rules_from_memory_are_counted_in_a_banner(shop: Shop, marta: Client) -> None:
    page = marta.get("/records/rules/").content.decode()
    assert "1 rule here is from memory; nobody has checked its text. It warns and never stops you." in page
    marta.post("/records/rules/choose/", {"state": "CA", "from_day": today_of(marta)})
    page = marta.get("/records/rules/").content.decode()
    assert (
        "4 rules here are from memory; nobody has checked their text. They warn and never stop you." in page
    )


def test_the_owner_chooses_on_a_page_and_a_wrong_pick_is_said_beside_its_field(
    shop: Shop, marta: Client
) -> None:
    wrong = {"state": "WI", "local": ["us-ca-bay"], "from_day": today_of(marta)}
    page = marta.post("/records/rules/choose/", wrong).content.decode()
    assert "does not lie in Wisconsin" in page
    assert not PackChoice.objects.exists()
    right = {"state": "TX", "from_day": today_of(marta)}
    said = marta.post("/records/rules/choose/", right, follow=True).content.decode()
    assert "We looked for rules of Texas" in said


def test_a_technician_answers_the_list_of_a_job_on_its_page(
    shop: Shop, cans: list[Container], dev: Client
) -> None:
    choose(shop, "WI")
    bay = charged(shop, cans)
    address = f"/bay/{bay.job.number}/asked/"
    assert SAID in dev.get(address).content.decode()
    empty = dev.post(address, {"code": "wi-say-before", "once": "a"})
    assert "Pick an answer" in empty.content.decode()
    unsaid = {"code": "wi-say-before", "wi-say-before-item0": "not told", "once": "b"}
    assert "say why" in dev.post(address, unsaid).content.decode()
    told = unsaid | {"wi-say-before-item0": "told in person", "once": "c"}
    assert dev.post(address, told).status_code == 302
    assert PackAnswer.objects.get().answer == "told in person"
    assert "wi-say-before" not in asked(bay)
    close = dev.get(f"/bay/{bay.job.number}/close/").content.decode()
    assert "Rules looked at: federal baseline 2026-11, Wisconsin 2026-11." in close
    assert "belongs to the technician" in close


def test_each_stage_says_who_asks_for_what_is_done_there(
    shop: Shop, cans: list[Container], dev: Client
) -> None:
    choose(shop, "WI")
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    stages = {
        kind: dev.get(f"/bay/{bay.job.number}/{kind}/").content.decode() for kind in ("recovery", "charge")
    }
    assert "Federal law: 40 CFR 82.32(e)(1), 82.36(a), text read" in stages["recovery"]
    assert "State rule: ATCP 136.16(2), text read" in stages["charge"]
    assert "Known second-hand, not read: Topping off" in stages["charge"]
    assert "ATCP 136.16(2)" not in stages["recovery"]
    assert "Say to the customer first:" in stages["recovery"]
    (layer,) = job_rules(job_sheet(bay.job)).answered
    told = {items_of(layer)[0]: AnswerIn("told in person")}
    answer_pack(bay.job, layer.rule.code, told, at=bay.later(), by=shop.lee)
    assert "Say to the customer first:" not in dev.get(f"/bay/{bay.job.number}/charge/").content.decode()


def test_receiving_says_what_the_state_wants_of_a_small_can(shop: Shop, marta: Client, lee: Client) -> None:
    assert "WAC 173-443-020(3)" not in lee.get("/deliveries/new/").content.decode()
    marta.post("/records/rules/choose/", {"state": "WA", "from_day": today_of(marta)})
    page = lee.get("/deliveries/new/").content.decode()
    assert "State rule: WAC 173-443-020(3), text read" in page
    assert "From memory, not checked:" in page


def test_the_front_office_says_things_to_customers_and_answers_no_list_about_the_car(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    choose(shop, "WI")
    bay = charged(shop, cans)
    told = {"code": "wi-say-before", "wi-say-before-item0": "told by phone", "once": "a"}
    assert lee.post(f"/bay/{bay.job.number}/asked/", told).status_code == 302
    choose(shop, "CA")
    assert "drive belts" not in lee.get(f"/bay/{bay.job.number}/asked/").content.decode()
    (layer,) = job_rules(job_sheet(bay.job)).answered
    with pytest.raises(Refused, match="Who looked at the car"):
        answer_pack(
            bay.job, "ca-checklist", {items_of(layer)[0]: AnswerIn("ok")}, at=bay.later(), by=shop.lee
        )


def test_each_technicians_own_record_leaves_as_a_sheet(
    shop: Shop, cans: list[Container], marta: Client
) -> None:
    """ATCP 136.16(5), read in its opening: the record belongs to the technician who did the work."""
    bay = charged(shop, cans)
    bay.by = shop.rosa
    bay.leak_check(LeakResult.FOUND, "condenser")
    rows = sheet(marta, "/sheets/work.csv")
    rosas = [(row["stage"], row["leak_result"]) for row in rows if row["technician"] == "Rosa Tamayo"]
    assert rosas == [("Leak check", "leak found")]
    assert ("Dev Larkin", "Recovery") in {(row["technician"], row["stage"]) for row in rows}
    assert {row["customer"] for row in rows} == {"Ines Calloway"}
    assert len(rows) == bay.job.stages.values("kind", "turn").distinct().count()
