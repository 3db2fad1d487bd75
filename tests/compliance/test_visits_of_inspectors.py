"""The unannounced visit: a slip is begun, one search finds the job, a pass shows these days and no more, the slip
lists it all. 40 CFR 82.42(b)(5) asks that somebody with credentials be let in and see the records of that section."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from django.db import DatabaseError, connection, models, transaction
from django.test import Client
from pypdf import PdfReader

from compliance.models import (
    Closing,
    Visit,
    VisitCopy,
    VisitEnd,
    VisitPass,
    VisitPassEnd,
    VisitQuestion,
    VisitShown,
)
from compliance.queries.trails import trails
from compliance.services import check_in
from compliance.services.visits import (
    VisitIn,
    end_pass,
    end_visit,
    give_pass,
    note_copy,
    note_shown,
    open_visit,
    owe_answer,
    slip_pdf,
)
from inventory.models import Container
from inventory.services import InvoiceIn, add_invoice
from shop.core.findings import Refused
from shop.core.period import Period
from shop.http import now
from tests.compliance.office import a_visit, whole_paper_trail
from tests.compliance.work import Bay, car
from tests.factories import DAY, NOON, Shop
from tests.pages import send, text

pytestmark = pytest.mark.one_engine


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    return bay.straight(cans[0], cans[1])


def running(shop: Shop) -> tuple[Visit, Client, str]:
    """A visit of this very moment and a browser without anybody signed on."""
    visit, _, code = _given(shop)
    return visit, Client(), code


def _given(shop: Shop) -> tuple[Visit, object, str]:
    moment = now()
    said = VisitIn("Ona Brask", "EPA Region 8", True, "recovery records", shop.marta)
    visit = open_visit(said, shop.establishment, came_at=moment, at=moment, by=shop.marta)
    days, until = Period(DAY - timedelta(days=30), DAY), moment + timedelta(hours=1)
    return visit, *give_pass(visit, days, until=until, today=moment.date(), at=moment, by=shop.marta)


def slip(visit: Visit) -> str:
    pages = PdfReader(BytesIO(slip_pdf(Visit.objects.get(pk=visit.pk), at=NOON))).pages
    read = " ".join(page.extract_text() for page in pages).replace("\u00a0", " ")
    return re.sub(r"\s+", " ", read)


def test_the_unannounced_visit(marta: Client, shop: Shop, closed: Closing) -> None:
    whole_paper_trail(shop)
    who = {"name": "Ona Brask", "agency": "EPA Region 8", "credentials": "yes", "why": "recovery records"}
    begun = send(marta, "/visits/new/", **who, came_at="00:00", host=shop.marta.pk)
    page = begun.url
    number = closed.job.number
    found = text(marta.get(page, {"q": number}))
    send(marta, f"{page}shown/", what=number)
    send(marta, f"{page}copy/", what=number, pages="2")
    send(marta, f"{page}question/", question="Where is RE-2 kept?", due="2999-01-02")
    address = re.search(r"/visitor/enter/[\w-]+/", _pass_page(marta, page))
    assert address is not None
    visitor = Client()
    visitor.get(address[0])
    tab = visitor.get("/visitor/certified/")
    send(marta, f"{page}end/", note="friendly")
    after = visitor.get("/visitor/certified/")
    said = slip(Visit.objects.get())

    for word in (number, "SAMPLE", "RE-1", "K-0001", "D24-0001", "RC-02 : not shipped yet"):
        assert word in found
    assert "Dev Larkin" in text(tab)
    assert (after.status_code, "This pass has ended" in text(after)) == (403, True)
    assert f"{number} Marta Quill" in said
    assert "Technicians certified the visitor, with the pass" in said
    assert f"{number} 2 Marta Quill" in said
    assert "Where is RE-2 kept?" in said


def _pass_page(marta: Client, page: str) -> str:
    days = {"first": (DAY - timedelta(days=30)).isoformat(), "last": DAY.isoformat()}
    answer = send(marta, f"{page}pass/", **days, until="23:59")
    return str(answer.content.decode())


def test_a_pass_sent_twice_is_one_pass(marta: Client, shop: Shop) -> None:
    visit = a_visit(shop)[0]
    before = visit.passes.count()
    days = {"first": (DAY - timedelta(days=30)).isoformat(), "last": DAY.isoformat(), "until": "23:59"}

    first, again = (send(marta, f"/visits/{visit.number}/pass/", once="one", **days) for _ in range(2))

    assert "/visitor/enter/" in first.content.decode()
    assert again["Location"] == f"/visits/{visit.number}/"
    assert visit.passes.count() == before + 1


def test_a_plate_and_a_day_find_the_same_job(shop: Shop, closed: Closing) -> None:
    job = closed.job
    plate = trails(shop.establishment, job.number)[0].plate

    assert [one.job for one in trails(shop.establishment, plate)] == [job]
    assert [one.job for one in trails(shop.establishment, DAY.isoformat())] == [job]
    assert trails(shop.establishment, "SMP-NONE") == []


def test_a_pass_shows_no_price_and_no_phone(shop: Shop, cans: list[Container]) -> None:
    called = replace(car(), phone="(555) 010-0199")
    job = check_in(called, shop.establishment, on=DAY, at=NOON, by=shop.dev)
    closed = Bay(shop, shop.dev, job).straight(cans[0], cans[1])
    bill = InvoiceIn("550917", DAY, 64218)
    add_invoice(cans[0].delivered.line.delivery, bill, today=DAY, at=NOON, by=shop.lee)
    _, visitor, code = running(shop)
    home = visitor.get(f"/visitor/enter/{code}/", follow=True)
    tabs = sorted(set(re.findall(r'href="(/visitor/[\w-]+/)"', home.content.decode())))
    read = " ".join(text(visitor.get(tab)) for tab in tabs)
    paper = closed.certificates.get().document
    read += text(visitor.get(f"/visitor/certificate/{paper.number}/"))

    assert len(tabs) > 12
    assert closed.job.number in read
    assert "550917" in read
    assert not re.search(r"642\.18|64218|\$", read)
    assert "010-0199" not in read


def test_a_pass_for_other_days_shows_neither_the_job_nor_its_certificate(shop: Shop, closed: Closing) -> None:
    visit, _, _ = _given(shop)
    before, moment = Period(DAY - timedelta(days=30), DAY - timedelta(days=1)), now()
    until = moment + timedelta(hours=1)
    _, code = give_pass(visit, before, until=until, today=moment.date(), at=moment, by=shop.marta)
    visitor = Client()
    visitor.get(f"/visitor/enter/{code}/")
    number = closed.certificates.get().document.number

    assert closed.job.number not in text(visitor.get("/visitor/jobs/"))
    assert visitor.get(f"/visitor/certificate/{number}/").status_code == 404


def test_a_pass_opens_nothing_of_the_staffs(shop: Shop) -> None:
    _, visitor, code = running(shop)
    visitor.get(f"/visitor/enter/{code}/")

    for address in ("/", "/deliveries/", "/binder/", "/visits/", "/people/", "/sheets/book.csv"):
        assert visitor.get(address)["Location"].startswith("/sign-on/")


def test_every_page_that_was_opened_is_on_the_slip(shop: Shop) -> None:
    visit, visitor, code = running(shop)
    visitor.get(f"/visitor/enter/{code}/", follow=True)
    visitor.get("/visitor/counts/")

    rows = VisitShown.objects.filter(visit=visit, by_pass=True).values_list("what", "address")
    assert list(rows) == [
        ("List of records", "/visitor/"),
        ("Counts and differences", "/visitor/counts/"),
    ]


def test_a_pass_that_its_hour_ended_says_so(shop: Shop) -> None:
    _, _, code = a_visit(shop)  # of NOON, years ago

    answer = Client().get(f"/visitor/enter/{code}/")
    assert (answer.status_code, "This pass has ended" in text(answer)) == (403, True)


def test_a_pass_ends_by_hand_and_once_only(shop: Shop) -> None:
    visit, visitor, code = running(shop)
    end_pass(visit.passes.get(), at=now(), by=shop.marta)

    assert visitor.get(f"/visitor/enter/{code}/").status_code == 403
    with pytest.raises(Refused, match="This pass has ended already"):
        end_pass(visit.passes.get(), at=now(), by=shop.marta)


def test_a_pass_lasts_no_longer_than_a_day(shop: Shop) -> None:
    visit, _, _ = a_visit(shop)
    days, until = Period(DAY, DAY), NOON + timedelta(days=2)

    with pytest.raises(Refused, match="A pass ends within a day"):
        give_pass(visit, days, until=until, today=DAY, at=NOON, by=shop.marta)


def test_an_ended_visit_takes_no_more(shop: Shop) -> None:
    visit, _, _ = a_visit(shop)
    end_visit(visit, at=NOON, by=shop.marta)

    with pytest.raises(Refused, match="V24-0001 has ended"):
        note_shown(visit, "the cabinet", at=NOON, by=shop.marta)


def test_an_answer_is_not_owed_by_a_day_that_is_over(shop: Shop) -> None:
    visit, _, _ = a_visit(shop)

    with pytest.raises(Refused, match="is over already"):
        owe_answer(visit, "Where?", due=DAY - timedelta(days=1), today=DAY, at=NOON, by=shop.marta)


def test_only_the_hash_of_a_code_is_kept(shop: Shop) -> None:
    visit, kept, code = a_visit(shop)

    assert code not in str(VisitShown.objects.all().values()) + str(visit.passes.values())
    assert len(kept.digest) == 64


@pytest.mark.parametrize(
    "model", [VisitShown, VisitCopy, VisitQuestion, VisitPass, VisitPassEnd, VisitEnd, Visit]
)
def test_no_row_of_a_slip_is_changed_or_deleted(shop: Shop, model: type[models.Model]) -> None:
    visit, visitors, _ = a_visit(shop)
    signed: dict[str, Any] = {"at": NOON, "by": shop.marta}
    note_shown(visit, "the cabinet", **signed)
    note_copy(visit, "C24-0001", pages=2, **signed)
    owe_answer(visit, "Where is RE-2 kept?", due=DAY, today=DAY, **signed)
    end_pass(visitors, **signed)
    end_visit(visit, **signed)

    assert model._default_manager.count() == 1
    for statement in ("UPDATE {} SET at = at", "DELETE FROM {}"):
        with pytest.raises(DatabaseError, match="is final"), transaction.atomic():
            connection.cursor().execute(statement.format(model._meta.db_table))
