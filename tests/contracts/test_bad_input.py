"""Whatever is typed into any form: a page comes back, never a broken one, and the book stays whole."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client

from compliance.models import Closing, PackChoice, SpareEntry
from compliance.queries.whole_book import whole_book_findings
from compliance.services import SpareIn, give_link, keep_second_entry
from inventory.core.importing import What
from inventory.models import Attachment, Container, Delivery, Movement, ReturnSlip
from inventory.services import (
    CountedIn,
    CountIn,
    FoundIn,
    InvoiceIn,
    LineIn,
    PaperIn,
    ReturnIn,
    add_invoice,
    find_can,
    keep_draft,
    keep_earlier_paper,
    mark_mixed,
    measure_hoses,
    record_count,
    return_cans,
)
from shop.records import final_models
from shop.services import CheckIn, log_check, name_buyer
from tests.compliance.clearing_work import Owner, archive_on
from tests.compliance.office import a_visit, whole_paper_trail
from tests.compliance.work import Bay, Moment
from tests.conftest import Keep, SignOn
from tests.factories import DAY, NOON, Shop, bring_in, cans_of, hoses_in, reading, receive, ticket_in
from tests.shop.test_outgoing import listener_at

NASTY = (
    "",
    "-1",
    "99999999999999999999999999",
    "NaN",
    "\u202e\u0000466",
    "<script>alert(1)</script>",
    "'; DROP TABLE inventory_movement; --",
    "2999-12-31",
    "0001-01-01T00:00",
    "466 fl oz",
    "x" * 5000,
)
# What an engine of its own may choke on: numbers past its integers, a NUL, text past its columns. The rest never gets
# as far as a database, so it is tried on SQLite only.
HARD = ("99999999999999999999999999", "\u202e\u0000466", "x" * 5000)
TYPED = [pytest.param(one, marks=[pytest.mark.one_engine] if one not in HARD else []) for one in NASTY]
FORMS = (
    "/bay/new/",
    "/bay/{job}/check-in/",
    "/bay/{job}/recovery/",
    "/bay/{job}/leak-check/",
    "/bay/{job}/repair/",
    "/bay/{job}/evacuation/",
    "/bay/{job}/leak-test/",
    "/bay/{job}/final-readings/",
    "/bay/{job}/makers-table/",
    "/bay/{job}/makers-table/{table}/take-back/",
    "/bay/{job}/recovery/leave-out/",
    "/bay/{job}/charge/",
    "/bay/{job}/charge/keep/",
    "/bay/{job}/charge/ticket/{ticket}/",
    "/bay/{job}/charge/take-over/",
    "/bay/{job}/charge/can/K-0003/off/",
    "/bay/{job}/charge/can/K-0003/other/",
    "/bay/{job}/charge/wrong-refrigerant/",
    "/bay/{job}/choice/",
    "/bay/{job}/asked/",
    "/bay/{job}/hand-over/",
    "/bay/{job}/aside/",
    "/bay/{job}/entries/{spare}/",
    "/bay/{job}/recovery/draft/",
    "/containers/swapped/",
    "/containers/RC-02/mixed/",
    "/containers/RC-02/air/",
    "/bay/{job}/photos/new/",
    "/bay/{job}/photos/{photo}/set-aside/",
    "/bay/{job}/close/",
    "/binder/keep/",
    "/programs/new/",
    "/visits/new/",
    "/visits/{visit}/shown/",
    "/visits/{visit}/copy/",
    "/visits/{visit}/question/",
    "/visits/{visit}/pass/",
    "/visits/{visit}/end/",
    "/bay/{job}/not-charged/",
    "/containers/K-0001/weigh/",
    "/containers/K-0003/heel/",
    "/containers/K-0005/ended/",
    "/containers/empties/",
    "/containers/found/",
    "/containers/{found}/accept/",
    "/containers/{found}/heel/",
    "/deliveries/new/",
    "/deliveries/D24-0001/invoice/",
    "/deliveries/D24-0001/undo/",
    "/deliveries/D24-0001/rest/",
    "/deliveries/D24-0001/rest/{line}/drop/",
    "/deliveries/D24-0001/lots/",
    "/deliveries/D24-0001/merge/",
    "/deliveries/D24-0001/papers/new/",
    "/deliveries/D24-0001/invoice/{bill}/",
    "/deliveries/D24-0001/damaged/K-0009/",
    "/deliveries/D24-0001/back/",
    "/deliveries/D24-0001/deposit/",
    "/returns/RS24-0001/credit/",
    "/counts/new/",
    "/counts/new/?refrigerant=R-134a",
    "/labels/new/",
    "/moves/new/",
    "/moves/spot/",
    "/shipments/new/",
    "/shipments/facility/",
    "/counts/opening/",
    "/counts/{count}/difference/R-134a/note/",
    "/records/charts/look/?kind=scale&what=check&key=SC-1",
    "/equipment/checks/{check}/doubt/decide/",
    "/hoses/new/",
    "/hoses/HM24-0001/adopt/",
    "/cylinders/new/",
    "/records/earlier/new/",
    "/records/earlier/{scan}/aside/",
    "/import/",
    "/import/look/",
    "/import/{cars}/",
    "/types/new/",
    "/types/{kind}/adopt/",
    "/suppliers/new/",
    "/people/new/",
    "/people/{dev}/card/",
    "/people/{dev}/authorise/",
    "/people/{dev}/card/{card}/image/",
    "/people/{dev}/image/{image}/unreadable/",
    "/people/{dev}/buyer/",
    "/people/{lee}/buyer/end/",
    "/people/{dev}/officer/",
    "/people/{dev}/leave/",
    "/people/{dev}/leave/jobs/",
    "/people/{dev}/notice/{supplier}/",
    "/people/copies/new/",
    "/people/owner/",
    "/statements/new/",
    "/statements/address/",
    "/statements/earlier/RE-1/",
    "/statements/{statement}/1/sent/",
    "/statements/sent/{sent}/proof/",
    "/equipment/new/",
    "/equipment/SC-1/check/",
    "/equipment/SC-1/retire/",
    "/house/rules/",
    "/house/reminders/",
    "/house/backups/",
    "/house/outgoing/new/",
    "/house/outgoing/{listener}/again/",
    "/records/rules/choose/",
    "/records/old/keep/",
    "/records/old/clear/{archive}/",
    "/records/old/clearings/{clearing}/confirm/",
    "/records/old/clearings/{clearing}/undo/",
    "/records/old/clearings/{clearing}/clear/",
    "/records/bundle/",
    "/records/hand-over/",
    "/sign-on/",
    "/sign-on/password/",
    "/device/",
    "/device/language/",
    "/device/pin/",
    "/stations/new/",
    "/reports/sign/",
    "/papers/{paper}/1/links/",
    "/papers/links/{link}/end/",
    "/corrections/job/{closed}/?what=check-in-1-customer&what=label-charge&what=label-source&what=charge-hoses"
    "&what=evacuation-1-hold_minutes&what=evacuation-1-deepest",
    "/case-file/{closed}/",
    "/holds/{closed}/new/",
    "/holds/{closed}/end/",
    "/papers/{paper}/1/reissue/",
    "/papers/{paper}/1/withdraw/",
)


@pytest.fixture(scope="module")
def names(keep: Keep, shop_of_all: Shop) -> dict[str, str]:
    """One open job with a can on the car, and one closed one with its paper."""
    return keep(lambda: two_jobs(shop_of_all))


def two_jobs(shop: Shop) -> dict[str, str]:
    PackChoice.objects.create(
        establishment=shop.establishment, state="CA", from_day=DAY, at=NOON, by=shop.marta
    )
    delivery = receive(shop, LineIn(shop.can12, 14, 12))
    cans: list[Container] = cans_of(delivery)
    signed: dict[str, Any] = {"today": DAY, "at": NOON, "by": shop.lee}
    bill = add_invoice(delivery, InvoiceIn("550917", DAY, 64218), **signed)
    return_cans(
        delivery, ReturnIn((cans[11],), DAY, ReturnSlip.To.SUPPLIER, "the driver", "wrong kind"), **signed
    )
    paper = Bay.check_in(shop, plate="SMP-001").straight(cans[0], cans[1]).certificates.get().document
    link = give_link(paper, given_to="Ines Calloway", seen=True, at=NOON, by=shop.lee)
    archive = archive_on(shop)
    numbers_of_old = {"archive": str(archive.pk), "clearing": str(Owner(shop).ask(archive).pk)}
    measure_hoses(hoses_in(shop, cans[3]), on=DAY, at=NOON, by=shop.dev)
    bay = Bay.check_in(shop, plate="SMP-002")
    ticket = bay.weigh(cans[2], "466", Moment.BEFORE).ticket.number
    numbers = {"ticket": str(ticket), "photo": str(bay.photograph().pk), "dev": str(shop.dev.pk)}
    numbers |= from_outside(shop) | numbers_of_old
    missing = CountIn(DAY, [CountedIn(cans[10], "missing")])
    numbers["count"] = str(record_count(missing, shop.establishment, at=NOON, by=shop.lee).pk)
    off = CheckIn(DAY, "500 g weight", known=reading("500"), shown=reading("504"))
    log_check(shop.scale, off, today=DAY, at=NOON, by=shop.dev)
    numbers["check"] = str(log_check(shop.scale, off, today=DAY, at=NOON, by=shop.dev).pk)
    numbers["spare"] = str(rosas_entry(shop, bay).pk)
    found = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    mark_mixed(shop.rc05, since=NOON, why="a mixed car", at=NOON, by=shop.dev)
    numbers["found"] = find_can(found, shop.establishment, on=DAY, at=NOON, by=shop.lee).container_id
    numbers |= whole_paper_trail(shop) | {"visit": a_visit(shop)[0].number}
    name_buyer(shop.lee, first_day=DAY, at=NOON, by=shop.marta)
    numbers |= {"lee": str(shop.lee.pk), "kind": str(shop.can12.pk)}
    numbers |= {"listener": str(listener_at(shop, "http://127.0.0.1:9/").pk)}
    numbers |= {"table": str(bay.type_makers_table().pk), "link": str(link.pk)}
    numbers |= {"bill": str(bill.pk), "line": str(delivery.lines.get().pk)}
    return {"job": bay.job.number, "closed": "J24-0001", "paper": paper.number} | numbers


def rosas_entry(shop: Shop, bay: Bay) -> SpareEntry:
    """What Rosa typed of the can that Dev had weighed already."""
    second = SpareIn(f"/bay/{bay.job.number}/charge/", {"reading": "460"}, "K-0003, 460 g", "Rosa too")
    return keep_second_entry(bay.job, second, bay.job.can_tickets.get(), at=NOON, by=shop.rosa)


def from_outside(shop: Shop) -> dict[str, str]:
    """An earlier paper, an import, and a file that waits to be one."""
    scan = PaperIn(Attachment.Media.PDF, b"%PDF-1.7 %%EOF")
    signed: dict[str, Any] = {"today": DAY, "at": NOON, "by": shop.lee}
    kept = keep_earlier_paper(scan, DAY, "clipboard page", shop.establishment, **signed)
    cars = bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n")
    waiting = b"plate,vin,make\nSMP-8,,van\n"
    keep_draft(What.VEHICLES, "cars.csv", waiting, shop.establishment, at=NOON, by=shop.marta)
    return {"scan": str(kept.pk), "cars": str(cars.pk)}


def rows_written() -> int:
    """The rows of all tables whose rows are final, counted in one statement."""
    counts = " UNION ALL ".join(f'SELECT count(*) AS n FROM "{one._meta.db_table}"' for one in final_models())
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT sum(n) FROM ({counts}) AS counted")
        return int(cursor.fetchone()[0])


def fields_of(client: Client, address: str) -> list[str]:
    page = client.get(address).content.decode()
    return [
        one for one in re.findall(r'name="([^"]+)"', page) if one not in ("csrfmiddlewaretoken", "q", "once")
    ]


@pytest.mark.parametrize("form", FORMS)
def test_no_form_breaks_and_no_book_is_hurt(
    form: str, names: dict[str, str], shop: Shop, sign_on: SignOn
) -> None:
    marta = sign_on(shop.marta)
    address = form.format(**names)
    fields, before = fields_of(marta, address), rows_written()
    for nasty in NASTY if connection.vendor == "sqlite" else HARD:
        answer = marta.post(address, dict.fromkeys(fields, nasty))
        assert answer.status_code in (200, 302, 404, 405), (address, nasty[:20], answer.status_code)
    assert rows_written() == before or whole_book_findings() == []


@pytest.mark.one_engine
@pytest.mark.parametrize(
    "form", [one for one in FORMS if "leave-out" not in one and "links/{link}/end" not in one]
)
def test_an_empty_form_writes_nothing(form: str, names: dict[str, str], shop: Shop, sign_on: SignOn) -> None:
    before = rows_written()
    answer = sign_on(shop.marta).post(form.format(**names), {})
    assert answer.status_code in (200, 302, 405)
    assert rows_written() == before, form
    assert (Closing.objects.count(), Delivery.objects.count()) == (1, 1)
    assert Movement.objects.filter(purpose="charged").count() == 2


@pytest.mark.parametrize(
    "query", ["first=x&last=y", "first=2999-01-01&last=2999-02-01", "first=2024-04-30&last=2024-04-01"]
)
def test_a_period_that_cannot_be_is_said_on_the_page(
    query: str, names: dict[str, str], shop: Shop, sign_on: SignOn
) -> None:
    answer = sign_on(shop.marta).get(f"/reports/draft/?{query}")
    assert answer.status_code == 200
    assert "error" in answer.content.decode()


@pytest.mark.parametrize("nasty", TYPED)
def test_the_charge_page_answers_whatever_is_typed(
    nasty: str, names: dict[str, str], shop: Shop, sign_on: SignOn
) -> None:
    typed = {
        "container": "K-0003",
        "reading": nasty,
        "what": "off",
        "scale": str(shop.scale.pk),
        "style": "bare can",
    }
    before = rows_written()
    for said in (typed, typed | {"container": nasty}, dict.fromkeys(typed, nasty)):
        assert sign_on(shop.dev).get(f"/bay/{names['job']}/charge/look/", said).status_code == 200
    assert rows_written() == before


@pytest.mark.parametrize("words", TYPED)
def test_find_answers_whatever_is_typed(
    words: str, names: dict[str, str], shop: Shop, sign_on: SignOn
) -> None:
    assert sign_on(shop.marta).get("/find/", {"q": words}).status_code in (200, 302)
