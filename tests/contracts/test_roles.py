"""Who may open which page: every address names its roles, and every (role, address, status) is tried."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from compliance.models import Closing
from compliance.services import Change, correct_job
from inventory.models import Attachment, Container, ReturnSlip
from inventory.services import (
    InvoiceIn,
    LineIn,
    PaperIn,
    ReturnIn,
    add_invoice,
    attach_paper,
    measure_hoses,
    return_cans,
)
from shop.core.roles import Role
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cans_of, hoses_in, make_establishment, make_owner, receive

PUBLIC = {"sign-on", "sign-on-password", "sign-on-pin", "sign-off", "lock", "device", "check", "words"}
OWNER, OFFICE, TECH = Role.OWNER, Role.FRONT_OFFICE, Role.TECHNICIAN
ALL = {OWNER, OFFICE, TECH}

# address name -> the roles it opens to; every address of the project stands here once
TABLE: dict[str, set[Role]] = {
    "today": ALL,
    "find": ALL,
    "recall": ALL,
    "sheets:list": ALL,
    "sheets:download": ALL,  # each sheet asks for the roles of its list: tests/compliance/sheets/test_lists.py
    "sheets:recall": ALL,
    "sheets:whole": {OWNER},
    "value": {OFFICE, OWNER},
    "value-sheet": {OFFICE, OWNER},
    "words": ALL,
    "records": ALL,
    "cabinet": ALL,
    "jobs:list": ALL,
    "jobs:new": ALL,
    "jobs:page": ALL,
    "jobs:check-in": {TECH, OWNER},
    "jobs:charge": {TECH, OWNER},
    "jobs:finish-charge": {TECH, OWNER},
    "jobs:retype": {TECH, OWNER},
    "jobs:look": {TECH, OWNER},
    "jobs:take-over": {TECH, OWNER},
    "jobs:take-off": {TECH, OWNER},
    "jobs:other-can": {TECH, OWNER},
    "jobs:mischarge": {TECH, OWNER},
    "jobs:makers-table": {TECH, OWNER},
    "jobs:take-back-table": {TECH, OWNER},
    "jobs:choice": ALL,
    "jobs:hand-over": {TECH, OWNER},
    "jobs:draft": {TECH, OWNER},
    "containers:swap": ALL,
    "containers:mixed": {TECH, OWNER},
    "containers:air": {TECH, OWNER},
    "jobs:close": {TECH, OWNER},
    "jobs:not-charged": {TECH, OWNER},
    "jobs:stage": {TECH, OWNER},
    "jobs:leave-out": {TECH, OWNER},
    "photos:new": {TECH, OWNER},
    "photos:show": ALL,
    "photos:set-aside": {TECH, OWNER},
    "heel": {TECH, OWNER},
    "labels:door": ALL,
    "labels:new": ALL,
    "labels:page": ALL,
    "labels:pdf": ALL,
    "moves:list": ALL,
    "moves:new": ALL,
    "moves:arrived": ALL,
    "moves:spot": {OFFICE, OWNER},
    "shipments:list": ALL,
    "shipments:page": ALL,
    "shipments:new": {OFFICE, OWNER},
    "shipments:facility": {OFFICE, OWNER},
    "shipments:receipt": {OFFICE, OWNER},
    "hoses:list": ALL,
    "hoses:new": {TECH, OWNER},
    "hoses:page": ALL,
    "hoses:adopt": {OWNER},
    "deliveries:list": ALL,
    "deliveries:page": ALL,
    "deliveries:new": {OFFICE, OWNER},
    "deliveries:rest": {OFFICE, OWNER},
    "deliveries:drop": {OFFICE, OWNER},
    "deliveries:lots": {OFFICE, OWNER},
    "deliveries:merge": {OFFICE, OWNER},
    "deliveries:attach": {OFFICE, OWNER},
    "deliveries:paper": {OFFICE, OWNER},
    "deliveries:invoice": {OFFICE, OWNER},
    "deliveries:right": {OFFICE, OWNER},
    "deliveries:damage": {OFFICE, OWNER},
    "deliveries:back": {OFFICE, OWNER},
    "deliveries:deposit": {OFFICE, OWNER},
    "deliveries:undo": {OWNER},
    "returns:credit": {OFFICE, OWNER},
    "return-slip": {OFFICE, OWNER},
    "return-slip-pdf": {OFFICE, OWNER},
    "sums:list": {TECH, OWNER},
    "sums:page": {TECH, OWNER},
    "sums:chart": {TECH, OWNER},
    "sums:chart-pdf": {TECH, OWNER},
    "corrections:list": ALL,
    "corrections:page": ALL,
    "corrections:new": {OWNER},
    "case-file": {OFFICE, OWNER},
    "holds:list": ALL,
    "holds:new": ALL,
    "holds:end": {OWNER},
    "papers:list": ALL,
    "papers:page": ALL,
    "papers:pdf": ALL,
    "papers:reissue": {OWNER},
    "papers:withdraw": {OWNER},
    "reports:list": {OFFICE, OWNER},
    "reports:draft": {OFFICE, OWNER},
    "reports:sign": {OWNER},
    "people:list": ALL,
    "people:new": {OWNER},
    "people:page": ALL,
    "people:card": {OWNER},
    "people:authorise": {OWNER},
    "people:end": {OWNER},
    "people:end-quick": {OWNER},
    "device-language": ALL,
    "device-pin": ALL,
    "device-badge": ALL,
    "stations:new": {OWNER},
    "stations:end": {OWNER},
    "house:rules": {OWNER},
}


def addresses(resolver: URLResolver | None = None, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from addresses(one, inner)
        else:
            yield f"{space}{one.name}", one


def roles_of(pattern: URLPattern) -> frozenset[Role]:
    """Set by ``open_to`` and ``public``, or named on an API view's class."""
    said = getattr(pattern.callback, "view_class", pattern.callback)
    roles: frozenset[Role] = said.roles  # type: ignore[union-attr]
    return roles


def test_every_address_names_its_roles() -> None:
    silent = [
        name
        for name, one in addresses()
        if not hasattr(getattr(one.callback, "view_class", one.callback), "roles")
    ]
    assert silent == []


def test_only_the_addresses_meant_for_anybody_are_open_to_anybody() -> None:
    assert {name for name, one in addresses() if not roles_of(one)} <= PUBLIC


@pytest.mark.parametrize("name", sorted(TABLE))
def test_the_table_of_roles_is_what_the_views_say(name: str) -> None:
    said = {one: roles_of(pattern) for one, pattern in addresses()}
    if name in PUBLIC:
        return
    assert set(said[name]) == TABLE[name]


@pytest.fixture
def things(shop: Shop) -> dict[str, str]:
    """One of each thing that an address can name."""
    delivery = receive(shop, LineIn(shop.can12, 12, 10, damaged=1))
    cans: list[Container] = cans_of(delivery)
    signed: dict[str, Any] = {"today": DAY, "at": NOON, "by": shop.lee}
    bill = add_invoice(delivery, InvoiceIn("550917", DAY, 64218), **signed)
    sent = ReturnIn((cans[5],), DAY, ReturnSlip.To.SUPPLIER, "the driver", "wrong kind")
    slip = return_cans(delivery, sent, **signed)
    scan = PaperIn(Attachment.Media.PDF, b"%PDF-1.7 %%EOF")
    kept = attach_paper(delivery, scan, Attachment.What.SLIP, at=NOON, by=shop.lee)
    paper = Bay.check_in(shop).straight(cans[0], cans[1]).certificates.get().document
    customer = Change("check-in-1-customer", "Ines Calloway", "Inez Calloway")
    corrected = Closing.objects.get().job
    wrong = correct_job(corrected, [customer], why="misspelt", on=DAY, at=NOON, by=shop.marta)
    photo = Bay.check_in(shop, plate="SMP-999").photograph()
    return {
        "number": "J24-0002",
        "paper": paper.number,
        "code": "K-0001",
        "equipment": "SC-1",
        "delivery": "D24-0001",
        "hoses": measure_hoses(hoses_in(shop, cans[2]), on=DAY, at=NOON, by=shop.dev).number,
        "pk": str(shop.dev.pk),
        "photo": str(photo.pk),
        "deliveries:right": str(bill.pk),
        "deliveries:paper": str(kept.pk),
        "line": str(delivery.lines.get().pk),
        "return": slip.number,
        "slip": wrong.number,
    }


# whose number an address names; all others name a job
NUMBERED = {
    "papers": "paper",
    "check": "paper",
    "deliveries": "delivery",
    "hoses": "hoses",
    "returns": "return",
    "return": "return",
}
FIXED: dict[str, object] = {"version": 1, "kind": "recovery", "ticket": 1, "ending": "csv", "name": "scale"}


def address_of(name: str, pattern: URLPattern, things: dict[str, str]) -> str:
    """The address with one of each thing in it; ``things`` may name one for this very address."""
    values: dict[str, object] = {}
    space = name.partition(":")[0].partition("-")[0]
    for key in pattern.pattern.converters:
        values[key] = FIXED.get(key, things.get(key, things["pk"]))
        if key == "number":
            values[key] = things[NUMBERED.get(space, "number")]
        elif key == "code":
            values[key] = things["equipment"] if space == "equipment" else things["code"]
        elif key == "pk":
            values[key] = things["photo"] if space == "photos" else things.get(name, things["pk"])
        elif key == "name" and space == "sheets":
            values[key] = "book"
    return reverse(name, kwargs=values)


def test_each_role_gets_in_where_its_table_says_and_nowhere_else(
    shop: Shop, things: dict[str, str], sign_on: SignOn, client: Client
) -> None:
    clients = {OWNER: sign_on(shop.marta), OFFICE: sign_on(shop.lee), TECH: sign_on(shop.dev)}
    wrong = []
    for name, pattern in addresses():
        if name in PUBLIC:
            continue
        address = address_of(name, pattern, things)
        if client.get(address).status_code not in ((403,) if address.startswith("/api/") else (302,)):
            wrong.append(f"a stranger at {address}")
        for role, who in clients.items():
            status = who.get(address).status_code
            allowed = role in roles_of(pattern)
            if status == 500 or (status == 403) is allowed:
                wrong.append(f"{role.value} at {address}: {status}")
    assert wrong == []


def test_another_shops_things_are_nowhere_to_be_found(
    shop: Shop, things: dict[str, str], sign_on: SignOn
) -> None:
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    for address in (
        f"/bay/{things['number']}/",
        f"/bay/{things['number']}/makers-table/",
        f"/bay/{things['number']}/photos/new/",
        f"/bay/{things['number']}/photos/{things['photo']}/",
        f"/bay/{things['number']}/photos/{things['photo']}/set-aside/",
        f"/papers/{things['paper']}/1/",
        f"/papers/{things['paper']}/1/pdf/",
        f"/containers/{things['code']}/",
        f"/deliveries/{things['delivery']}/",
        f"/deliveries/{things['delivery']}/papers/{things['deliveries:paper']}/",
        f"/deliveries/{things['delivery']}/invoice/{things['deliveries:right']}/",
        f"/returns/{things['return']}/",
        f"/returns/{things['return']}/pdf/",
        f"/corrections/{things['slip']}/",
        "/corrections/job/J24-0001/",
        "/holds/J24-0001/new/",
        "/case-file/J24-0001/",
        "/holds/J24-0001/end/",
        f"/returns/{things['return']}/credit/",
        f"/equipment/{things['equipment']}/",
        f"/people/{things['pk']}/",
        f"/hoses/{things['hoses']}/",
        f"/hoses/{things['hoses']}/adopt/",
    ):
        assert stranger.get(address).status_code == 404, address
