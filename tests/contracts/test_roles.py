"""Who may open which page: every address names its roles, and every (role, address, status) is tried."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from compliance.models import Closing
from compliance.services import Change, correct_job, give_link, send_shipment
from inventory.core.importing import What
from inventory.models import Attachment, Container, Count, ReturnSlip, Shipment
from inventory.services import (
    CountedIn,
    CountIn,
    CylinderSent,
    FacilityIn,
    InvoiceIn,
    LineIn,
    PaperIn,
    ReturnIn,
    ShipmentIn,
    add_facility,
    add_invoice,
    attach_paper,
    keep_earlier_paper,
    measure_hoses,
    record_count,
    return_cans,
)
from shop.core.roles import Role
from shop.models import Check
from shop.services import CheckIn, log_check
from tests.api.program import Program
from tests.compliance.clearing_work import Owner, archive_on
from tests.compliance.office import a_visit, whole_paper_trail
from tests.compliance.work import Bay
from tests.conftest import Keep, SignOn
from tests.contracts.roles_table import OFFICE, OWNER, PUBLIC, TABLE, TECH, VISITOR
from tests.factories import (
    DAY,
    NOON,
    Shop,
    bring_in,
    cans_of,
    cylinder_holding,
    hoses_in,
    make_establishment,
    make_owner,
    reading,
    receive,
    ticket_in,
)
from tests.shop.test_outgoing import listener_at


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
    assert {name for name, one in addresses() if not roles_of(one)} <= PUBLIC | VISITOR


@pytest.mark.parametrize("name", sorted(TABLE))
def test_the_table_of_roles_is_what_the_views_say(name: str) -> None:
    said = {one: roles_of(pattern) for one, pattern in addresses()}
    if name in PUBLIC | VISITOR:
        return
    assert set(said[name]) == TABLE[name]


def a_count(shop: Shop, can: Container) -> Count:
    """A count that did not find one can."""
    return record_count(CountIn(DAY, [CountedIn(can, "missing")]), shop.establishment, at=NOON, by=shop.lee)


def a_shipment(shop: Shop) -> Shipment:
    """RC-07 is on its way: 10,024 g less its tare of 17.1 lb are 2,267.6 g."""
    signed: dict[str, Any] = {"at": NOON, "by": shop.lee}
    place = FacilityIn("Example Reclaim", "1 Depot Lane, Other Springs, CO 80001")
    facility = add_facility(place, shop.establishment, today=DAY, **signed)
    sent = CylinderSent(cylinder_holding(shop, "RC-07", "5"), ticket_in(shop, "10024"))
    shipment = ShipmentIn(facility, "reclaim", "own van", [sent], capped=True)
    return send_shipment(shipment, shop.establishment, on=DAY, **signed)


def a_failed_check(shop: Shop) -> Check:
    """A check that SC-1 did not pass."""
    off = CheckIn(DAY, "500 g weight", known=reading("500"), shown=reading("504"))
    return log_check(shop.scale, off, today=DAY, at=NOON, by=shop.dev)


@pytest.fixture(scope="module")
def one_of_each(keep: Keep, shop_of_all: Shop) -> dict[str, str]:
    """The same for all tests of a module that only read, or write beside it."""
    return keep(lambda: made(shop_of_all))


@pytest.fixture
def things(one_of_each: dict[str, str], shop: Shop) -> dict[str, str]:
    """One of each thing that an address can name."""
    return dict(one_of_each)


def made(shop: Shop) -> dict[str, str]:
    delivery = receive(shop, LineIn(shop.can12, 12, 10, damaged=1))
    cans: list[Container] = cans_of(delivery)
    signed: dict[str, Any] = {"today": DAY, "at": NOON, "by": shop.lee}
    bill = add_invoice(delivery, InvoiceIn("550917", DAY, 64218), **signed)
    sent = ReturnIn((cans[5],), DAY, ReturnSlip.To.SUPPLIER, "the driver", "wrong kind")
    slip = return_cans(delivery, sent, **signed)
    scan = PaperIn(Attachment.Media.PDF, b"%PDF-1.7 %%EOF")
    kept = attach_paper(delivery, scan, Attachment.What.SLIP, at=NOON, by=shop.lee)
    earlier = keep_earlier_paper(scan, DAY, "clipboard page", shop.establishment, **signed)
    cars = bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n")
    paper = Bay.check_in(shop).straight(cans[0], cans[1]).certificates.get().document
    link = give_link(paper, given_to="Ines Calloway", seen=True, at=NOON, by=shop.lee)
    customer = Change("check-in-1-customer", "Ines Calloway", "Inez Calloway")
    corrected = Closing.objects.get().job
    wrong = correct_job(corrected, [customer], why="misspelt", on=DAY, at=NOON, by=shop.marta)
    clearing = Owner(shop).ask(archive_on(shop))
    photo = Bay.check_in(shop, plate="SMP-999").photograph()
    visit, visitors, _ = a_visit(shop)
    counted = a_count(shop, cans[3])
    trail = whole_paper_trail(shop)
    trail |= {"statements:proof": trail.pop("sent"), "statements:show-proof": trail.pop("proof")}
    return trail | {
        "number": "J24-0002",
        "paper": paper.number,
        "code": "K-0001",
        "equipment": "SC-1",
        "machine": "RE-1",
        "delivery": "D24-0001",
        "hoses": measure_hoses(hoses_in(shop, cans[2]), on=DAY, at=NOON, by=shop.dev).number,
        "pk": str(shop.dev.pk),
        "photo": str(photo.pk),
        "papers:end-link": str(link.pk),
        "old:ask": str(clearing.archive.pk),
        **dict.fromkeys(("old:clearing", "old:confirm", "old:undo", "old:clear"), str(clearing.pk)),
        "deliveries:right": str(bill.pk),
        "deliveries:paper": str(kept.pk),
        "earlier:paper": str(earlier.pk),
        "earlier:aside": str(earlier.pk),
        "import:page": str(cars.pk),
        "types:page": str(shop.can12.pk),
        "types:adopt": str(shop.can12.pk),
        "line": str(delivery.lines.get().pk),
        "return": slip.number,
        "doubt": str(a_failed_check(shop).pk),
        "difference": str(counted.pk),
        "count": str(counted.pk),
        "shipment": a_shipment(shop).number,
        "cylinder": "RC-02",
        "day": DAY.isoformat(),
        "slip": wrong.number,
        "visit": visit.number,
        "visits:end-pass": str(visitors.pk),
        "programs:end": str(Program(shop.dev).row.pk),
        "house": str(listener_at(shop, "http://127.0.0.1:9/").pk),
    }


# whose number an address names; all others name a job
NUMBERED = {
    "papers": "paper",
    "check": "paper",
    "deliveries": "delivery",
    "hoses": "hoses",
    "returns": "return",
    "return": "return",
    "visits": "visit",
    "people": "copy",
    "statements": "statement",
}
FIXED: dict[str, object] = {
    "version": 1,
    "kind": "recovery",
    "ticket": 1,
    "ending": "csv",
    "name": "scale",
    "what": "people",
}
FIXED["refrigerant"] = "R-134a"
# whose key an address takes
OWN_KEY = {"photos": "photo", "difference": "difference", "doubt": "doubt", "house": "house"}


def address_of(name: str, pattern: URLPattern, things: dict[str, str]) -> str:
    """The address with one of each thing in it; ``things`` may name one for this very address."""
    values: dict[str, object] = {}
    space = name.partition(":")[0].partition("-")[0]
    for key in pattern.pattern.converters:
        values[key] = FIXED.get(key, things.get(key, things["pk"]))
        if key == "number":
            values[key] = things[NUMBERED.get(space, "number")]
        elif key == "code" and space == "packs":
            values[key] = "us-card"
        elif key == "code":
            ours = {"equipment": "equipment", "statements": "machine"}
            values[key] = things[ours.get(space, "code")]
        elif key == "pk":
            values[key] = things.get(OWN_KEY.get(space, name), things["pk"])
        elif key == "name" and space == "sheets":
            values[key] = "book"
    return reverse(name, kwargs=values)


def test_each_role_gets_in_where_its_table_says_and_nowhere_else(
    shop: Shop, things: dict[str, str], sign_on: SignOn, client: Client
) -> None:
    clients = {OWNER: sign_on(shop.marta), OFFICE: sign_on(shop.lee), TECH: sign_on(shop.dev)}
    wrong = []
    for name, pattern in addresses():
        if name in PUBLIC | VISITOR or name.startswith("api-"):  # for those: test_api.py
            continue
        address = address_of(name, pattern, things)
        if client.get(address).status_code != 302:
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
        f"/records/earlier/{things['earlier:paper']}/",
        f"/records/earlier/{things['earlier:paper']}/aside/",
        f"/import/{things['import:page']}/",
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
        f"/equipment/checks/{things['doubt']}/doubt/",
        f"/people/{things['pk']}/image/{things['image']}/",
        f"/people/{things['pk']}/image/{things['image']}/unreadable/",
        f"/people/{things['pk']}/card/{things['card']}/image/",
        f"/house/outgoing/{things['house']}/",
        f"/house/outgoing/{things['house']}/end/",
        f"/people/{things['pk']}/leave/",
        f"/people/{things['pk']}/leave/jobs/",
        f"/people/{things['pk']}/notice/{things['supplier']}/",
        f"/people/copies/{things['copy']}/",
        f"/people/copies/{things['copy']}/pdf/",
        f"/statements/{things['statement']}/1/sent/",
        f"/statements/sent/{things['statements:proof']}/proof/",
        f"/statements/proof/{things['statements:show-proof']}/",
        "/statements/earlier/RE-1/",
        f"/hoses/{things['hoses']}/",
        f"/counts/{things['difference']}/difference/R-134a/",
        f"/counts/{things['difference']}/difference/R-134a/note/",
        f"/hoses/{things['hoses']}/adopt/",
    ):
        assert stranger.get(address).status_code == 404, address
