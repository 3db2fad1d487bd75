"""Equipment statements: what 40 CFR 82.42(a)(1) asks for, who signs, when one is called sent.

The rows of the table are rule card C2 of the federal rules, which was made from the text of 82.42(a)(1) as a copy of
about 2022-23 has it, and from 42 USC 7671h(d).
"""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from compliance.core.regions import region_of, regions, state_in
from compliance.models import Document, StatementSent
from compliance.pdf.drawing import draw
from compliance.queries.attention import asking
from compliance.queries.papers import as_paper
from compliance.queries.statements import overview
from compliance.services import EarlierIn, add_proof, state_earlier, withdraw_document
from shop.core.findings import Refused
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment, change_owner, name_officer, retire_equipment
from shop.services.papers import read_file
from tests.compliance.office import ALL, PDF, RE_1, RE_2, leave, send, sign, whole_paper_trail
from tests.compliance.pictures import picture_of
from tests.factories import DAY, NOON, Shop, make_owner
from tests.pages import errors, text
from tests.pages import send as post

BLANK: list[tuple[str, dict[str, Any], str]] = [
    ("82.42(a)(1)(i) name of the purchaser", {"purchaser": " "}, "purchaser"),
    ("82.42(a)(1)(ii) address of the establishment", {"location": ""}, "location"),
    ("82.42(a)(1)(iii) manufacturer name", {"machines": (replace(RE_1, maker=""),)}, "maker_RE-1"),
    ("82.42(a)(1)(iii) model number", {"machines": (replace(RE_1, model=""),)}, "model_RE-1"),
    ("82.42(a)(1)(iii) date of manufacture", {"machines": (replace(RE_1, made=" "),)}, "made_RE-1"),
    ("82.42(a)(1)(iii) serial number", {"machines": (RE_2, replace(RE_1, serial=""))}, "serial_RE-1"),
    ("82.42(a)(1) at least one unit", {"machines": ()}, "machines"),
    ("82.42(a)(1) will be properly used", {"stated": ALL[1:]}, "properly_used"),
    ("82.42(a)(1) each individual is certified", {"stated": (ALL[0], ALL[2])}, "all_certified"),
    ("82.42(a)(1) true and correct", {"stated": ALL[:2]}, "is_true"),
    ("82.42(a)(1) owner or responsible officer: title", {"title": ""}, "title"),
]


def asks_of(shop: Shop, day: date = DAY) -> str:
    return " ".join(one.text for one in asking(shop.establishment, day, shop.marta))


@pytest.mark.parametrize(("asked_by", "left_out", "field"), BLANK, ids=[row[0] for row in BLANK])
def test_a_blank_field_is_refused_and_named(
    shop: Shop, asked_by: str, left_out: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refused) as refused:
        sign(shop, **left_out)

    assert field in [one.field for one in refused.value.findings]
    assert all(one.basis == "40 CFR 82.42(a)(1)" for one in refused.value.findings)
    assert not Document.objects.exists()


def test_a_technician_who_is_no_officer_does_not_sign(shop: Shop) -> None:
    """40 CFR 82.42(a)(1): the owner of the equipment or another responsible officer."""
    with pytest.raises(Refused, match="neither the owner nor a responsible officer"):
        sign(shop, by=shop.dev, title="Owner")

    name_officer(shop.dev, title="General manager", first_day=DAY, at=NOON, by=shop.marta)

    assert "Dev Larkin, General manager" in draw_text(sign(shop, by=shop.dev, title="General manager"))


def test_an_officer_signs_from_the_day_they_were_named_on(shop: Shop) -> None:
    name_officer(shop.lee, title="Office manager", first_day=DAY + timedelta(1), at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="neither the owner nor"):
        sign(shop, by=shop.lee)
    assert sign(shop, by=shop.lee, on=DAY + timedelta(1))


def draw_text(document: Document) -> str:
    pages = PdfReader(io.BytesIO(bytes(document.pdf))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_paper_has_the_fields_in_the_rules_order_and_nothing_else_above_the_signature(shop: Shop) -> None:
    document = sign(shop)
    kinds = [type(block).__name__ for block in as_paper(document).blocks]
    printed = draw_text(document)
    order = (
        "Copper Gulch Auto Repair, LLC",
        "100 Example Street, Copper Gulch, CO 80000 Equipment",
        "Sample Machine Works R-10 Jan 2020 RE1-00417",
        "will be properly used in servicing motor vehicle air conditioners",
        "is properly trained and certified in accordance with 40 CFR 82.40",
        "The information given is true and correct",
        "Marta Quill, Owner, Apr 2 2024",
        "Below this line",
        "Dev Larkin SAMPLE-7741 Mar 12 2019",
    )
    places = [printed.find(words) for words in order]

    assert -1 not in places
    assert places == sorted(places)
    assert kinds == ["Pairs", "Pairs", "Table", "Note", "Signature", "Pairs", "Table"]
    assert draw(as_paper(document)) == bytes(document.pdf)
    assert document.link.place == 1


def test_nobody_is_listed_who_has_no_card_in_force(shop: Shop) -> None:
    """Authorised two days before the card was issued is impossible; a copy that never came is not."""
    from tests.compliance.office import hire

    hire(shop, shop.lee, date(2023, 5, 1), DAY, copy_due=DAY)

    assert sign(shop)
    with pytest.raises(Refused, match="Lee Okonma is authorised here and has no 609 card in force"):
        sign(shop, on=DAY + timedelta(1))


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"on": None}, "on"),
        ({"how": ""}, "how"),
        ({"how": "pigeon"}, "how"),
        ({"address": "EPA"}, "address"),
        ({"region": 11}, "region"),
        ({"address_confirmed_on": None}, "address_confirmed_on"),
        ({"address_confirmed_on": DAY + timedelta(1)}, "address_confirmed_on"),
        ({"on": DAY + timedelta(1)}, "on"),
        ({"on": DAY - timedelta(1), "address_confirmed_on": DAY - timedelta(1)}, "on"),
    ],
)
def test_nothing_is_called_sent_without_a_day_a_way_and_an_address(
    shop: Shop, said: dict[str, Any], field: str
) -> None:
    document = sign(shop)

    with pytest.raises(Refused) as refused:
        send(shop, document, **said)

    assert [one.field for one in refused.value.findings] == [field]
    assert not StatementSent.objects.exists()


def test_a_statement_that_was_withdrawn_is_not_sent(shop: Shop) -> None:
    document = sign(shop)
    withdraw_document(document, why="wrong plate", at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="withdrawn"):
        send(shop, document)


def test_today_tells_the_owner_what_is_signed_and_not_sent(shop: Shop) -> None:
    assert "RE-1, RE-2: no equipment statement is on file." in asks_of(shop)

    document = sign(shop, machines=(RE_2,))
    assert "RE-2: statement signed, not sent." in asks_of(shop)
    assert "RE-1: no equipment statement is on file." in asks_of(shop)

    send(shop, document)
    assert "RE-2" not in asks_of(shop)


def test_a_unit_added_after_it_was_sent_is_a_look_and_no_error(shop: Shop, marta: Client) -> None:
    """Rule card C2: one-time by a Region's page, each unit's serial number by 42 USC 7671h(d)."""
    send(shop, sign(shop))
    new = EquipmentIn("RE-3", Equipment.Kind.MACHINE, DAY, does=Equipment.Does.RECOVER, refrigerants="R-134a")
    add_equipment(new, shop.establishment, today=DAY, at=NOON, by=shop.marta)

    (line,) = [one for one in overview(shop.establishment, DAY).machines if one.added_after]
    page = text(marta.get("/statements/"))

    assert line.machine.code == "RE-3"
    assert "Unit added later" in page
    assert "a shop certifies once; the statute speaks of the serial number of each unit" in page


def test_a_new_statement_takes_the_place_of_the_one_before(shop: Shop) -> None:
    old = sign(shop, machines=(RE_1,))
    with pytest.raises(Refused, match="Say why"):
        sign(shop, replaces=old, reason="")

    new = sign(shop, replaces=old, reason="new machine")

    assert (str(new), new.replaces) == ("ES-24-01 version 2", old)
    lines = overview(shop.establishment, DAY).machines
    assert {str(one.signed.document) for one in lines if one.signed} == {"ES-24-01 version 2"}
    with pytest.raises(Refused, match="does not stand any more"):
        sign(shop, replaces=old, reason="new machine")


def test_a_retired_machine_is_told_apart(shop: Shop, marta: Client) -> None:
    retire_equipment(shop.equipment["RE-1"], last_day=DAY, why="sold", at=NOON, by=shop.marta)
    later = DAY + timedelta(1)

    assert [one.in_service for one in overview(shop.establishment, later).machines] == [False, True]
    assert "RE-1" not in asks_of(shop, later)
    assert "out of service" in text(marta.get("/statements/"))


def test_what_the_owner_states_of_an_earlier_one_is_never_called_sent(shop: Shop, marta: Client) -> None:
    earlier = EarlierIn("spring of 2011", note="lost in the move")
    with pytest.raises(Refused, match="Only the owner"):
        state_earlier(shop.equipment["RE-1"], earlier, at=NOON, by=shop.dev)

    state_earlier(shop.equipment["RE-1"], earlier, at=NOON, by=shop.marta)
    page = text(marta.get("/statements/"))

    assert "Marta Quill states: sent spring of 2011, no copy; lost in the move" in page
    assert "RE-1" not in asks_of(shop)
    assert all(one.signed is None for one in overview(shop.establishment, DAY).machines)


def test_the_new_owner_signs_and_the_one_before_no_longer_does(shop: Shop) -> None:
    otis = make_owner(shop.establishment, "Otis Vale")
    sign(shop)
    change_owner(otis, on=DAY + timedelta(1), today=DAY + timedelta(1), at=NOON, by=shop.marta)
    day = DAY + timedelta(2)

    assert "Otis Vale is the owner since Apr 3 and has signed no equipment statement; May 3" in asks_of(
        shop, day
    )
    assert "from memory" in asks_of(shop, day)
    with pytest.raises(Refused, match="Otis Vale is the owner since Apr 3 2024 and signs"):
        sign(shop, on=day)

    sign(shop, by=otis, on=day)

    assert "has signed no equipment statement" not in asks_of(shop, day)


def test_people_on_it_against_people_working_now(shop: Shop, marta: Client) -> None:
    sign(shop)
    assert "The same Dev Larkin, Rosa Tamayo" in text(marta.get("/statements/"))

    leave(shop, shop.rosa, DAY)
    seen = overview(shop.establishment, DAY + timedelta(1))

    assert (seen.joined, seen.left) == ((), ("Rosa Tamayo",))


def test_a_proof_is_kept_once_and_handed_out(shop: Shop, marta: Client) -> None:
    sent = send(shop, sign(shop))
    first = add_proof(sent, read_file(PDF), at=NOON, by=shop.lee)

    assert add_proof(sent, read_file(PDF), at=NOON, by=shop.lee) == first
    answer = marta.get(f"/statements/proof/{first.pk}/")
    assert answer.content == PDF
    assert answer.headers["Content-Disposition"].startswith("attachment")


def test_every_state_is_in_one_region_as_the_rule_lists_them() -> None:
    """40 CFR 82.42(a)(1): ten Regions, 50 States, DC, and PR, VI, AS, GU. The Northern Marianas are not listed."""
    every = [state for states in regions().values() for state in states]

    assert sorted(regions()) == list(range(1, 11))
    assert len(every) == len(set(every)) == 50 + 1 + 4
    assert [region_of(state) for state in ("CO", "ca", "PR", "ME", "WA", "MP")] == [8, 9, 2, 1, 10, None]


@pytest.mark.parametrize(
    ("address", "state"),
    [
        ("100 Example Street, Copper Gulch, CO 80000", "CO"),
        ("9 Depot Lane, Other Springs, TX 00000-1234", "TX"),
        ("418 Quarry Road", ""),
        ("", ""),
    ],
)
def test_the_state_is_read_where_an_address_ends(address: str, state: str) -> None:
    assert state_in(address) == state


def test_the_owner_makes_sends_and_proves_one_through_the_pages(shop: Shop, marta: Client) -> None:
    page = text(marta.get("/statements/new/"))
    typed: dict[str, Any] = {"machines": ["RE-1", "RE-2"], "reason": "first statement", "title": "Owner"}
    typed |= {"purchaser": shop.establishment.legal_name, "location": shop.establishment.address}
    blank = post(marta, "/statements/new/", **typed)
    plates = {"made_RE-1": "Jan 2020", "made_RE-2": "May 2022"} | dict.fromkeys(ALL, "on")
    signed = post(marta, "/statements/new/", **typed, **plates)

    assert "RE-1: the date of manufacture, as on its plate" in page
    assert "RE-1: type the date of manufacture from its plate." in errors(blank, "made_RE-1")
    assert errors(blank, "is_true")
    number = Document.objects.get(kind="equipment statement").number
    assert signed["Location"] == reverse("statements:sent", args=[number, 1])
    assert "Check the address on the agency’s own site before mailing." in text(marta.get(signed["Location"]))
    today = timezone.localdate().isoformat()
    said = {"on": today, "how": "mail", "region": "8", "address": "1 Sample Plaza, Sample City"}
    assert errors(post(marta, signed["Location"], **said), "address_confirmed_on")
    post(marta, signed["Location"], **said, address_confirmed_on=today)
    sent = StatementSent.objects.get()
    from django.core.files.uploadedfile import SimpleUploadedFile

    photo = SimpleUploadedFile("receipt.jpg", picture_of("receipt"))
    post(marta, reverse("statements:proof", args=[sent.pk]), paper=photo)
    page = text(marta.get("/statements/"))
    assert "Sent" in page
    assert sent.proofs.get().media == "image/jpeg"
    assert "current" in text(Client().get(f"/check/{number}/1/")).lower()


def test_a_statement_is_found_by_its_number(shop: Shop, marta: Client) -> None:
    number = sign(shop).number

    answer = marta.get("/find/", {"q": number})

    assert answer.status_code == 302
    assert answer["Location"] == reverse("papers:page", args=[number, 1])


def test_the_page_asks_the_database_a_fixed_number_of_times(
    shop: Shop, marta: Client, django_assert_max_num_queries: Any
) -> None:
    whole_paper_trail(shop)
    for _again in range(3):
        send(shop, sign(shop))

    with django_assert_max_num_queries(32):
        marta.get("/statements/")
