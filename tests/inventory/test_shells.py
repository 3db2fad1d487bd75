"""Empty shells: estimated, weighed, learned; and where an estimate is marked."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from compliance.core.door_sheet import door_sheet
from compliance.core.paper import Table
from compliance.queries.labels import door_facts
from compliance.services.heels import HeelIn, recover_heel
from inventory.models import Container, ContainerType, Count, CountLine, Movement
from inventory.queries import empties_of
from inventory.services import (
    CountedIn,
    CountIn,
    OpenCanIn,
    OpeningIn,
    add_container_type,
    adopt_shell,
    open_cabinet,
    record_count,
)
from inventory.services.stocking import ContainerTypeIn
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from shop.models import AuditNote
from tests.factories import DAY, NOON, Shop, book_of, reading, ticket_in
from tests.pages import errors, send, text

OPENING = "/counts/opening/"
MARK = "Shell estimated give or take 10 g"


@pytest.fixture
def guessed(shop: Shop) -> ContainerType:
    """A kind of can whose empty shell nobody has weighed."""
    kind = ContainerTypeIn(
        "R-134a", "12-oz old", reading("340"), reading("120"), shell_basis=ContainerType.Basis.ESTIMATED
    )
    return add_container_type(kind, at=NOON, by=shop.lee)


def opening(shop: Shop, *stock: OpeningIn | OpenCanIn) -> Count:
    return open_cabinet(stock, shop.establishment, on=DAY, at=NOON, by=shop.lee)


def emptied(shop: Shop, kind: ContainerType, *weights: str) -> list[Container]:
    """Open cans of the kind with a heel of 2 g each, whose heel is recovered; each then weighs so much."""
    cans = []
    for weight in weights:
        before = str(int(weight) + 2)
        count = opening(shop, OpenCanIn(kind, ticket_in(shop, before)))
        can = count.lines.get().container
        heel = HeelIn(shop.rc02, ticket_in(shop, weight))
        recover_heel(can, heel, on=DAY, at=NOON, by=shop.dev)
        cans.append(can)
    return cans


def test_open_cans_enter_the_book_by_weight_less_the_shell(shop: Shop, lee: Client) -> None:
    rows: dict[str, Any] = {
        "rows": "2",
        "type_0": shop.can12.pk,
        "cans_0": "2",
        "lot_0": "L24B-07",
        "scale": shop.scale.pk,
        "open_type_0": shop.can12.pk,
        "open_reading_0": "295",
        "open_type_1": shop.can8.pk,
        "open_reading_1": "200",
        "open_lot_1": "C25K",
    }
    page = text(lee.get(send(lee, OPENING, do="save", **rows)["Location"]))

    assert book_of(shop)["K-0001"] == grams(340)
    assert book_of(shop)["K-0003"] == grams(295) - shop.can12.shell
    assert book_of(shop)["K-0004"] == grams(200) - shop.can8.shell
    opened = Container.objects.get(pk="K-0004")
    assert (opened.tickets.get().reading_text, opened.lot) == ("200", "C25K")
    assert "Write each number on its can" in page
    assert "Print the door sheet" in page
    assert "Shell estimated" not in page
    assert {row.source_id for row in Movement.objects.all()} == {"before the book"}


def test_open_cans_alone_make_an_opening_count(shop: Shop, lee: Client) -> None:
    rows: dict[str, Any] = {
        "rows": "1",
        "scale": shop.scale.pk,
        "open_type_0": shop.can12.pk,
        "open_reading_0": "295",
    }
    assert send(lee, OPENING, do="save", **rows).status_code == 302
    line = CountLine.objects.get()
    assert (line.how, line.shell_basis, line.shell_doubt_g) == ("weighed", "weighed", 4)


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("open_reading_0", {"open_reading_0": ""}, "Type what the scale shows."),
        ("open_reading_0", {"open_reading_0": "10.4"}, "looks like ounces"),
        ("open_reading_0", {"open_reading_0": "900"}, "A full can of this kind weighs about 466 g"),
        ("open_reading_0", {"open_reading_0": "60"}, "An empty shell of this kind weighs about 126 g"),
        ("open_type_0", {"open_type_0": ""}, "Choose the kind of can."),
        ("scale", {"scale": ""}, "Choose the scale"),
    ],
)
def test_what_is_wrong_with_an_open_can_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    rows = {
        "rows": "1",
        "scale": str(shop.scale.pk),
        "open_type_0": str(shop.can12.pk),
        "open_reading_0": "295",
    }
    response = send(lee, OPENING, do="save", **{**rows, **changed})

    assert sentence in " ".join(errors(response, field))
    assert not Count.objects.exists()


def test_a_can_as_light_as_its_shell_is_there_and_holds_nothing(shop: Shop) -> None:
    opening(shop, OpenCanIn(shop.can12, ticket_in(shop, "125")))

    assert book_of(shop) == {"K-0001": ZERO, "RC-02": ZERO, "RC-05": ZERO}


def test_every_page_that_shows_an_open_can_says_that_its_shell_is_estimated(
    shop: Shop, guessed: ContainerType, lee: Client
) -> None:
    count = opening(shop, OpeningIn(guessed, 1), OpenCanIn(guessed, ticket_in(shop, "295")))

    for address in (f"/counts/{count.pk}/", "/containers/K-0002/", "/cabinet/", "/"):
        assert MARK in text(lee.get(address)), address
    assert "Shell estimated" not in text(lee.get("/containers/K-0001/"))
    assert [line.estimated_g for line in count.lines.all()] == [0, 10]
    answer: Any = lee.get("/sheets/counts.csv")
    sheet = b"".join(answer.streaming_content).decode()
    assert ",estimated,10," in sheet


def test_the_door_sheet_says_so_too(shop: Shop, guessed: ContainerType) -> None:
    opening(shop, OpenCanIn(guessed, ticket_in(shop, "295")), OpenCanIn(guessed, ticket_in(shop, "200")))
    blocks = door_sheet(door_facts(shop.establishment, at=NOON)).blocks
    (table,) = [one for one in blocks if isinstance(one, Table) and one.title == "R-134a"]

    assert ("", "Of that, shells estimated", "give or take 20 g") in table.rows


def test_a_later_count_by_a_weighed_shell_takes_the_mark_away(
    shop: Shop, guessed: ContainerType, lee: Client
) -> None:
    can = opening(shop, OpenCanIn(guessed, ticket_in(shop, "295"))).lines.get().container
    ContainerType.objects.filter(pk=guessed.pk).update(shell_basis="weighed", shell_spread_g=4)
    can = Container.objects.get(pk=can.pk)
    counted = CountIn(DAY, [CountedIn(can, "weighed", ticket_in(shop, "295"))])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)

    assert "Shell estimated" not in text(lee.get(f"/containers/{can.code}/"))
    assert MARK in text(lee.get(f"/counts/{Count.objects.earliest('pk').pk}/"))


def test_three_empties_teach_what_a_shell_weighs(shop: Shop, guessed: ContainerType, lee: Client) -> None:
    emptied(shop, guessed, "124", "125")
    assert "2 of 3 empties weighed." in text(lee.get(f"/types/{guessed.pk}/"))

    emptied(shop, guessed, "125")
    page = text(lee.get(f"/types/{guessed.pk}/"))
    assert "3 empties weighed 124.7 g, give or take 3 g for one shell." in page
    assert "120.0 g, estimated" in page
    assert "Use 124.7 g from now on" in page


def test_the_learned_shell_is_used_from_now_on_and_nothing_booked_moves(
    shop: Shop, guessed: ContainerType, lee: Client
) -> None:
    emptied(shop, guessed, "124", "125", "125")
    moved = list(Movement.objects.values_list("pk", "mass"))

    send(lee, f"/types/{guessed.pk}/adopt/", mean=str(grams("124.7").ug))

    guessed.refresh_from_db()
    assert (guessed.shell, guessed.shell_basis, guessed.shell_spread_g) == (grams("124.7"), "learned", 3)
    assert list(Movement.objects.values_list("pk", "mass")) == moved
    note = AuditNote.objects.filter(about__startswith="shell of").get()
    assert (note.was, note.now) == (
        "120.0 g, estimated, give or take 10 g",
        "124.7 g, learned, give or take 3 g, 3 empties",
    )
    assert "This is the shell that is used now." in text(lee.get(f"/types/{guessed.pk}/"))


def test_a_shell_is_not_taken_over_unseen(shop: Shop, guessed: ContainerType, lee: Client) -> None:
    with pytest.raises(Refused, match="0 of 3 empties weighed"):
        adopt_shell(guessed, grams(124), at=NOON, by=shop.lee)
    emptied(shop, guessed, "124", "125", "125")
    answer = send(lee, f"/types/{guessed.pk}/adopt/", mean=str(grams("124.5").ug))

    assert "Another empty was weighed since: it is 124.7 g now." in " ".join(errors(answer))
    guessed.refresh_from_db()
    assert guessed.shell_basis == "estimated"


def test_a_can_that_is_not_quite_empty_teaches_nothing(shop: Shop, guessed: ContainerType) -> None:
    opening(shop, OpenCanIn(guessed, ticket_in(shop, "128")))

    assert empties_of(guessed, shop.establishment).tickets == ()


def test_a_technician_reads_about_a_kind_and_changes_nothing(
    shop: Shop, guessed: ContainerType, dev: Client
) -> None:
    assert "Estimated" in text(dev.get("/types/"))
    assert dev.get(f"/types/{guessed.pk}/").status_code == 200
    assert send(dev, f"/types/{guessed.pk}/adopt/", mean="1").status_code == 403


def test_a_shell_learned_to_the_gram_does_not_refuse_the_next_honest_empty(
    shop: Shop, guessed: ContainerType
) -> None:
    emptied(shop, guessed, "124", "124", "124")
    adopt_shell(guessed, grams(124), at=NOON, by=shop.lee)
    guessed.refresh_from_db()
    assert guessed.shell_spread_g == 1

    opening(
        shop, OpenCanIn(guessed, ticket_in(shop, "120"))
    )  # shells vary by 4 g: common practice, no source
    with pytest.raises(Refused, match="cannot weigh less"):
        opening(shop, OpenCanIn(guessed, ticket_in(shop, "117")))
