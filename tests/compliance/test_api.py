"""The read-only API: the same rows and facts as the pages, for the same roles."""

from __future__ import annotations

import json

from django.test import Client

from compliance.models import Document
from inventory.models import Container, Movement
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import Shop, make_establishment, make_owner


def test_a_paper_gives_its_facts_and_hashes(bay: Bay, cans: list[Container], lee: Client) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    got = lee.get(f"/api/papers/{paper.number}/1/").json()
    assert got["facts"] == json.loads(paper.facts)
    assert (got["state"], got["pdf_sha256"]) == ("current", paper.pdf_sha256)
    assert [one["number"] for one in lee.get("/api/papers/").json()["results"]] == [paper.number]


def test_the_book_gives_whole_micrograms_newest_first(bay: Bay, cans: list[Container], dev: Client) -> None:
    bay.straight(cans[0], cans[1])
    rows = dev.get("/api/book/").json()["results"]
    newest = Movement.objects.order_by("-pk")[0]
    assert (rows[0]["id"], rows[0]["mass_ug"], rows[0]["text"]) == (
        newest.pk,
        newest.mass.ug,
        "J24-0001 closed",
    )
    assert dev.get("/api/book/?refrigerant=R-1234yf").json()["results"] == []


def test_a_stranger_and_another_shop_get_nothing(
    bay: Bay, cans: list[Container], client: Client, sign_on: SignOn, shop: Shop
) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    assert client.get("/api/papers/").status_code == 403
    other = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert other.get(f"/api/papers/{paper.number}/1/").status_code == 404
    assert other.get("/api/book/").json()["results"] == []
    assert Document.objects.count() == 1


def test_the_api_writes_nothing(bay: Bay, marta: Client) -> None:
    for address in ("/api/papers/", "/api/book/"):
        assert marta.post(address, {}, content_type="application/json").status_code == 405
