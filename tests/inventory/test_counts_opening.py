"""The opening count of a cabinet that is already in use."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from inventory.models import Container, Count, Movement
from shop.core.mass import grams
from tests.factories import (
    Shop,
    book_of,
)
from tests.pages import errors, send, text

OPENING = "/counts/opening/"


def test_cans_that_were_there_before_get_their_numbers_today(shop: Shop, lee: Client) -> None:
    rows: dict[str, Any] = {
        "rows": "2",
        "type_0": shop.can12.pk,
        "cans_0": "3",
        "lot_0": "L24B-07",
        "type_1": shop.can8.pk,
        "cans_1": "2",
    }
    page = text(lee.get(send(lee, OPENING, do="save", **rows)["Location"]))

    assert "Opening count of" in page
    assert "Difference" not in page.split("Every container")[0]
    assert [container.code for container in Container.objects.filter(kind="can")] == [
        f"K-{n:04d}" for n in range(1, 6)
    ]
    assert Container.objects.get(pk="K-0001").came_on == timezone.localdate()
    assert book_of(shop)["K-0005"] == grams(227)
    assert {row.source_id for row in Movement.objects.all()} == {"before the book"}


def test_another_row_is_added_without_scripts(shop: Shop, lee: Client) -> None:
    response = send(lee, OPENING, do="more", rows="1", type_0=shop.can12.pk, cans_0="3")

    assert response.context["form"].count == 2
    assert not Count.objects.exists()


@pytest.mark.parametrize(
    ("field", "changed"),
    [
        ("type_0", {"type_0": ""}),
        ("cans_0", {"cans_0": ""}),
        ("cans_0", {"cans_0": "0"}),
        ("cans_0", {"cans_0": "501"}),
        ("cans_0", {"cans_0": "a few"}),
        ("lot_0", {"lot_0": "L" * 41}),
    ],
)
def test_what_is_wrong_with_an_opening_count_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, str]
) -> None:
    response = send(
        lee, OPENING, do="save", **{"rows": "1", "type_0": str(shop.can12.pk), "cans_0": "3", **changed}
    )

    assert errors(response, field)
    assert not Count.objects.exists()
    assert not Container.objects.filter(kind="can").exists()
