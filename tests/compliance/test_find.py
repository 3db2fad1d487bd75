"""Find: one box for every thing, whatever fragment of it is typed."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from compliance.queries.finding import Finds, found
from compliance.services import revise_check_in
from compliance.services.finding import rebuild_search
from inventory.models import Container, Delivery
from inventory.services import InvoiceIn, LineIn, add_invoice
from shop.core.finding import tails
from shop.models import Person, SearchTail
from tests.compliance.work import Bay, car, rename
from tests.conftest import Keep, SignOn
from tests.factories import DAY, NOON, Shop, cans_of, make_establishment, make_owner, receive
from tests.pages import text

VIN = (
    "1HGCM82633A004352"  # the specimen number of 49 CFR 565's check digit, as textbooks print it; from memory
)


def delivered(shop: Shop) -> Delivery:
    made = receive(shop, LineIn(shop.can12, 4, 4, lots=(("L24B-07", 4),)))
    add_invoice(made, InvoiceIn("INV-55091", DAY, 64218), today=DAY, at=NOON, by=shop.lee)
    return made


@pytest.fixture(scope="module")
def closed_of_all(keep: Keep, shop_of_all: Shop) -> Bay:
    made: Bay = keep(lambda: close_one(shop_of_all))
    return made


@pytest.fixture
def closed(closed_of_all: Bay, shop: Shop, copies: dict[int, Any]) -> Bay:
    return deepcopy(closed_of_all, copies)


def close_one(shop: Shop) -> Bay:
    """J24-0001 of Inés Calloway, phone and repair order on file, closed with certificate C24-0001."""
    cans = cans_of(delivered(shop))
    bay = Bay.check_in(shop, vin=VIN, plate="QOI-417", customer="Inés Calloway")
    seen = car(vin=VIN, plate="QOI-417", customer="Inés Calloway")
    more = replace(seen, phone="(555) 010-0177", repair_order="RO-9931")
    revise_check_in(bay.job, more, at=bay.later(), by=shop.dev)
    bay.straight(cans[0], cans[1])
    return bay


def names(finds: Finds) -> list[str]:
    """What was found, each by kind and name."""
    return [
        *(f"car {car.vehicle.plate}" for car in finds.cars),
        *(f"job {visit.number}" for visit in finds.jobs),
        *(f"paper {paper}" for paper in finds.papers),
        *(f"can {one.code}" for one in finds.containers),
        *(f"lot {lot.name}" for lot in finds.lots),
        *(f"delivery {one.number}" for one in finds.deliveries),
    ]


@pytest.mark.parametrize(
    ("typed", "thing"),
    [
        ("QOI-417", "car QOI-417"),
        ("qoi 417", "car QOI-417"),
        ("001417", "car QOI-417"),  # O and Q read as nought, I as one
        ("o1-41", "car QOI-417"),
        ("004352", "car QOI-417"),  # the last six of the VIN
        ("OO4352", "car QOI-417"),
        ("CM82633", "car QOI-417"),
        ("Calloway", "job J24-0001"),
        ("ines callo", "job J24-0001"),
        ("Calloway, Inés", "job J24-0001"),
        ("LLOWA", "job J24-0001"),
        ("010-0177", "job J24-0001"),
        ("5550100177", "job J24-0001"),
        ("9931", "job J24-0001"),
        ("J24-0001", "job J24-0001"),
        ("C24-0001", "paper C24-0001"),
        ("K-0003", "can K-0003"),
        ("k3", ""),
        ("SAMPLE-RC-02", "can RC-02"),
        ("L24B", "lot L24B-07"),
        ("24b-07", "lot L24B-07"),
        ("88412", "delivery D24-0001"),
        ("841", "delivery D24-0001"),
        ("55091", "delivery D24-0001"),
        ("D24-0001", "delivery D24-0001"),
    ],
)
def test_any_fragment_finds_the_thing(closed: Bay, typed: str, thing: str) -> None:
    finds = found(closed.shop.establishment, typed)

    assert names(finds) == ([thing] if thing else [])
    assert not finds.near


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ("Caloway", "a letter missing"),
        ("Callloway", "a letter too many"),
        ("Collaway", "two letters wrong"),
        ("Kalloway", "a letter wrong"),
        ("Callowya", "two letters changed places"),
        ("Calolway", "two letters changed places across the middle"),
    ],
)
def test_one_slip_in_a_name_is_forgiven_and_said(closed: Bay, typed: str, slip: str) -> None:
    finds = found(closed.shop.establishment, typed)

    assert names(finds) == ([] if slip == "two letters wrong" else ["job J24-0001"])
    assert finds.near is (slip != "two letters wrong")


def test_a_number_has_no_neighbours(closed: Bay) -> None:
    """The can after the last one is another can, not a slip."""
    assert names(found(closed.shop.establishment, "K-0009")) == []
    assert names(found(closed.shop.establishment, "J24-0002")) == []


def test_what_comes_near_is_never_opened_by_itself(closed: Bay, lee: Client) -> None:
    near = lee.get("/find/", {"q": "Kalloway"})

    assert near.status_code == 200
    assert "These come near" in text(near)
    assert "QOI-417" in text(near)


def test_the_only_find_opens_at_once(closed: Bay, lee: Client) -> None:
    for typed, page in (
        ("QOI-417", "/bay/J24-0001/"),
        ("C24-0001", "/papers/C24-0001/1/"),
        ("K-0002", "/containers/K-0002/"),
        ("88412", "/deliveries/D24-0001/"),
        ("L24B-07", "/find/lot/?lot=L24B-07"),
    ):
        assert lee.get("/find/", {"q": typed}).headers["Location"] == page


def test_a_car_shows_what_tells_it_from_another(closed: Bay, lee: Client) -> None:
    """Plate, what it is, the last six, the day, whose it was, and the paper of each visit."""
    again = Bay.check_in(
        closed.shop, vin=VIN, plate="QOI-417", customer="Bo Tran", at=closed.later(60 * 24 * 30)
    )

    page = text(lee.get("/find/", {"q": "QOI"}))

    for told in (
        "QOI-417",
        "2014 sedan, blue",
        "…004352",
        "Apr 2 2024",
        "Inés Calloway",
        "C24-0001",
        "503 g in",
    ):
        assert told in page
    assert page.index(again.job.number) < page.index("J24-0001")
    assert "Bo Tran" in page


def test_a_paper_is_found_in_its_newest_version(closed: Bay, lee: Client) -> None:
    paper = closed.job.closing.certificates.get().document
    rename(paper, "Ines Calloway-Reed", "name", at=NOON, by=closed.shop.marta)

    assert lee.get("/find/", {"q": "C24-0001"}).headers["Location"] == "/papers/C24-0001/2/"


@pytest.mark.parametrize(
    "typed", ["", " ", "a", "%", "__", "%%%%", "\\", "'; --", "\ud800", "\0\0", "ﷺ", "é" * 80]
)
def test_signs_and_single_letters_find_nothing(closed: Bay, lee: Client, typed: str) -> None:
    assert names(found(closed.shop.establishment, typed)) == []


def test_another_shop_finds_nothing_of_ours(closed: Bay, sign_on: SignOn) -> None:
    otis: Person = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")

    for typed in (
        "QOI-417",
        "Calloway",
        "Kalloway",
        "K-0001",
        "L24B-07",
        "88412",
        "C24-0001",
        "24",
        "Ines Calloway",
    ):
        assert names(found(otis.establishment, typed)) == []
    assert "No can of this shop" in text(sign_on(otis).get("/find/lot/", {"lot": "L24B-07"}))


def test_a_flood_is_cut_off_and_said(shop: Shop, lee: Client) -> None:
    receive(shop, LineIn(shop.can12, 60, 60), slip="88413")

    finds = found(shop.establishment, "K-00")

    assert (len(finds.containers), finds.more) == (12, True)
    assert "There are more" in text(lee.get("/find/", {"q": "K-00"}))


def test_the_index_made_anew_is_the_one_the_services_kept(closed: Bay) -> None:
    def kept() -> set[tuple[object, ...]]:
        rows = SearchTail.objects.values_list("establishment", "kind", "key", "word", "tail", "inner")
        return {(*row[:4], bytes(row[4]), row[5]) for row in rows}

    by_services = kept()
    SearchTail.objects.filter(kind="car").delete()
    SearchTail.objects.create(
        establishment=closed.shop.establishment, kind="job", key="J1", word="X", tail=b"X", inner=False
    )

    call_command("refind", verbosity=0)

    assert kept() == by_services
    assert rebuild_search(make_establishment("Red Mesa Auto")) == 0


def test_every_container_has_its_words(closed: Bay) -> None:
    codes = set(Container.objects.values_list("pk", flat=True))
    assert set(SearchTail.objects.filter(kind="container").values_list("key", flat=True)) == codes


def test_the_endings_of_a_word() -> None:
    assert tails("K-0012") == ["K0012", "0012", "012", "12"]
    assert tails("é") == tails("–") == []
