"""What every address of the API has in common: pages, filters, unchanged answers, problems."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.models import Document
from inventory.models import Container, Movement
from inventory.services import LineIn
from shop.models import ProgramAnswer
from tests.api.program import Program
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import Shop, make_establishment, make_owner, receive


@pytest.fixture
def program(shop: Shop) -> Program:
    return Program(shop.marta)


def test_a_paper_gives_its_facts_hashes_and_bytes(bay: Bay, cans: list[Container], program: Program) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    got = program.get(f"/api/papers/{paper.number}/1/").json()
    assert got["facts"]["number"] == paper.number
    assert (got["state"], got["pdf_sha256"]) == ("current", paper.pdf_sha256)
    assert [one["number"] for one in program.get("/api/papers/").json()["results"]] == [paper.number]
    pdf = program.get(f"/api/papers/{paper.number}/1/pdf/")
    assert (pdf["Content-Type"], pdf.content) == ("application/pdf", bytes(paper.pdf))


def test_the_book_tells_masses_exactly_newest_first(
    bay: Bay, cans: list[Container], program: Program
) -> None:
    bay.straight(cans[0], cans[1])
    row, newest = program.get("/api/book/").json()["results"][0], Movement.objects.order_by("-pk")[0]
    assert (row["id"], row["text"]) == (newest.pk, "J24-0001 closed")
    assert row["mass"]["micrograms"] == newest.mass.ug
    assert program.get("/api/book/?refrigerant=R-1234yf").json()["results"] == []
    place = program.get(f"/api/book/?place={cans[0].code}").json()["results"]
    assert {cans[0].code} <= {one["source"] for one in place} | {one["target"] for one in place}


def test_pages_of_a_list_follow_each_other_while_rows_come_in(shop: Shop, program: Program) -> None:
    receive(shop, LineIn(shop.can12, 7, 7))
    first = program.get("/api/book/?size=3").json()
    receive(shop, LineIn(shop.can12, 5, 5), slip="88413")
    second = program.client.get(first["next"], headers={"Authorization": f"Bearer {program.key}"}).json()
    ids = [one["id"] for one in first["results"] + second["results"]]
    assert ids == sorted(ids, reverse=True)
    assert len(set(ids)) == 6


def test_an_answer_that_did_not_change_is_not_sent_again(shop: Shop, program: Program) -> None:
    first = program.get("/api/people/")
    again = program.get("/api/people/", **{"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert first["Cache-Control"] == "private, no-cache"
    shop.dev.language = "es"
    shop.dev.name = "Dev A. Larkin"
    shop.dev.save()
    assert program.get("/api/people/", **{"If-None-Match": first["ETag"]}).status_code == 200


@pytest.mark.parametrize(
    ("address", "field"),
    [
        ("/api/book/?since=yesterday", "since"),
        ("/api/book/?refrigrant=R-134a", "refrigrant"),
        ("/api/book/?cursor=half", "cursor"),
        ("/api/equipment/?kind=toaster", "kind"),
        ("/api/book/?refrigerant=a%00b", "refrigerant"),
    ],
)
def test_a_filter_that_cannot_be_meant_is_named(program: Program, address: str, field: str) -> None:
    answer = program.get(address)
    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")
    said = answer.json()
    assert (said["title"], said["code"], said["findings"][0]["field"]) == ("Bad Request", "invalid", field)


def test_what_is_not_there_is_a_problem_in_its_own_words(program: Program, shop: Shop) -> None:
    for address in ("/api/papers/J24-0099/1/", "/api/nowhere/"):
        answer = program.client.get(address, headers={"Authorization": f"Bearer {program.key}"})
        assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json"), address
    assert program.client.get("/nowhere/")["Content-Type"].startswith("text/html")


def test_a_stranger_and_another_shop_get_nothing(
    bay: Bay, cans: list[Container], client: Client, sign_on: SignOn
) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    assert client.get("/api/papers/").status_code == 401
    otis = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")
    for ask in (sign_on(otis).get, Program(otis).get):
        assert ask(f"/api/papers/{paper.number}/1/").status_code == 404
        assert ask("/api/book/").json()["results"] == []
    assert Document.objects.count() == 1


def test_what_only_reads_writes_nothing(program: Program) -> None:
    for address in ("/api/papers/", "/api/book/", "/api/people/", "/api/equipment/"):
        assert program.post(address, {}).status_code == 405
    assert not ProgramAnswer.objects.exists()
