"""Receiving, as the service sees it: nothing half-written, whatever came in."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from inventory.forms.receiving import lots_of
from inventory.models import (
    Container,
    Delivery,
    DeliveryUndone,
    Entry,
    Fate,
    Invoice,
    Movement,
    Place,
)
from inventory.queries import containers
from inventory.services import (
    CountedIn,
    CountIn,
    InvoiceIn,
    LineIn,
    add_invoice,
    receive_delivery,
    record_count,
    undo_delivery,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from shop.models import Series
from tests.factories import DAY, NOON, Shop, cans_of, delivery_in, receive


def refused_codes(shop: Shop, *lines: LineIn, **changed: Any) -> list[str]:
    """The codes of the refusal, after making sure that nothing at all was written."""
    before = written(shop)
    delivery = replace(delivery_in(shop, *lines), **changed)
    with pytest.raises(Refused) as refused:
        receive_delivery(delivery, shop.establishment, today=DAY, at=NOON, by=shop.lee)
    assert written(shop) == before
    return [finding.code for finding in refused.value.findings]


def written(shop: Shop) -> list[Any]:
    tables = (Place, Container, Entry, Movement, Delivery, Fate)
    series = list(Series.objects.order_by("name").values_list("name", "last"))
    return [table._default_manager.count() for table in tables] + series


@pytest.mark.parametrize(
    ("changed", "codes"),
    [
        ({"slip": ""}, ["slip-empty"]),
        ({"slip": " \t "}, ["slip-empty"]),
        ({"on": DAY + timedelta(days=1)}, ["delivery-future"]),
        ({"on": DAY - timedelta(days=367)}, ["delivery-old"]),
        ({"lines": ()}, ["delivery-empty"]),
        ({"asked": "card shown"}, ["asked-of"]),
        (
            {"slip": "", "on": DAY + timedelta(days=1), "lines": ()},
            ["slip-empty", "delivery-future", "delivery-empty"],
        ),
    ],
)
def test_a_delivery_that_cannot_be_is_refused_whole(
    shop: Shop, changed: dict[str, Any], codes: list[str]
) -> None:
    assert refused_codes(shop, **changed) == codes


@pytest.mark.parametrize(
    ("numbers", "code"),
    [
        ({"on_slip": 36, "sound": 37}, "line-too-many"),
        ({"on_slip": 36, "sound": 36, "damaged": 1}, "line-too-many"),
        ({"on_slip": 36, "sound": 0}, "line-empty"),
        ({"on_slip": 36, "sound": -1, "damaged": 2}, "line-negative"),
        ({"on_slip": -1, "sound": 0}, "line-negative"),
        ({"on_slip": 36, "sound": 36, "lots": (("L24B-07", 37),)}, "line-lots"),
        ({"on_slip": 36, "sound": 36, "lots": (("A", 40), ("B", -4))}, "line-negative"),
        ({"on_slip": 2001, "sound": 2001}, "line-absurd"),
    ],
)
def test_a_line_that_does_not_add_up_is_refused_whole(shop: Shop, numbers: dict[str, Any], code: str) -> None:
    good = LineIn(shop.can8, 4, 4)

    assert code in refused_codes(shop, good, LineIn(shop.can12, **numbers))


def test_a_finding_names_the_line_it_speaks_of(shop: Shop) -> None:
    delivery = delivery_in(shop, LineIn(shop.can8, 4, 4), LineIn(shop.can12, 4, 5))
    with pytest.raises(Refused) as refused:
        receive_delivery(delivery, shop.establishment, today=DAY, at=NOON, by=shop.lee)

    assert [finding.field for finding in refused.value.findings] == ["sound_1"]


def test_the_same_slip_twice_names_the_first_and_writes_nothing(shop: Shop) -> None:
    first = receive(shop)
    before = written(shop)
    with pytest.raises(Refused, match=f"already in: {first.number}, received Apr 2") as refused:
        receive(shop)

    assert written(shop) == before
    assert refused.value.findings[0].field == "slip"


@pytest.mark.parametrize("again", ["88412", " 88412 ", "88412\t"])
def test_a_slip_is_the_same_however_it_is_typed(shop: Shop, again: str) -> None:
    receive(shop)

    assert refused_codes(shop, slip=again) == ["slip-already-in"]


def test_capitals_and_spaces_do_not_make_another_slip(shop: Shop) -> None:
    receive(shop, slip="ab 77")

    assert refused_codes(shop, slip="AB  77") == ["slip-already-in"]


def test_an_undone_slip_comes_in_again_and_then_never_twice(shop: Shop) -> None:
    for attempt in range(2):
        delivery = receive(shop)
        assert delivery.attempt == attempt
        undo_delivery(delivery, why="typed wrongly", today=DAY, at=NOON, by=shop.marta)
    receive(shop)

    assert refused_codes(shop) == ["slip-already-in"]


def test_every_can_enters_at_its_label_weight_exactly(shop: Shop) -> None:
    delivery = receive(shop, LineIn(shop.can12, 3, 3), LineIn(shop.can8, 2, 2))
    book = {row.code: row.book for row in containers(shop.establishment).filter(kind="can")}

    assert book == {f"K-{n:04d}": grams(340 if n <= 3 else 227) for n in range(1, 6)}
    assert delivery.entry.movements.count() == 5


def test_a_damaged_can_has_a_number_a_fate_and_no_gram(shop: Shop) -> None:
    receive(shop, LineIn(shop.can12, 2, 1, damaged=1))
    damaged = Fate.objects.get().container

    assert (damaged.code, damaged.fate.what, damaged.fate.by) == ("K-0002", Fate.What.REFUSED, shop.lee)
    assert containers(shop.establishment).get(pk="K-0002").book == ZERO


def test_a_delivery_of_damaged_cans_alone_moves_nothing(shop: Shop) -> None:
    delivery = receive(shop, LineIn(shop.can12, 1, 0, damaged=1))

    assert delivery.entry.movements.count() == 0
    assert cans_of(delivery) == []


def test_cans_beyond_the_lots_have_none(shop: Shop) -> None:
    cans = cans_of(receive(shop, LineIn(shop.can12, 5, 5, lots=(("A", 2), ("B", 1)))))

    assert [can.lot for can in cans] == ["A", "A", "B", "", ""]


def test_a_delivery_is_undone_to_the_last_gram(shop: Shop) -> None:
    delivery = receive(shop, LineIn(shop.can12, 3, 2, damaged=1))
    undone = undo_delivery(delivery, why="typed twice", today=DAY, at=NOON, by=shop.marta)

    assert undone.entry.reverses == delivery.entry
    assert {row.book for row in containers(shop.establishment)} == {ZERO}
    fates = dict(Fate.objects.values_list("container_id", "what"))
    assert fates == {"K-0001": "undone", "K-0002": "undone", "K-0003": "refused"}


def test_an_undo_needs_its_reason(shop: Shop) -> None:
    delivery = receive(shop)

    with pytest.raises(Refused, match="why it is undone"):
        undo_delivery(delivery, why=" ", today=DAY, at=NOON, by=shop.marta)
    assert not DeliveryUndone.objects.exists()


def test_a_delivery_whose_can_went_missing_is_not_undone(shop: Shop) -> None:
    """The count took the can out of the book; an undo would take it out twice."""
    delivery = receive(shop, LineIn(shop.can12, 2, 2))
    missing = CountIn(DAY, [CountedIn(cans_of(delivery)[0], "missing")])
    record_count(missing, shop.establishment, at=NOON, by=shop.lee)

    with pytest.raises(Refused, match=r"K-0001 holds 0\.0 g"):
        undo_delivery(delivery, why="typed twice", today=DAY, at=NOON, by=shop.marta)
    assert not DeliveryUndone.objects.exists()


@pytest.mark.parametrize(
    ("number", "days", "cents", "code"),
    [
        ("", 0, 100, "invoice-empty"),
        ("550917", 1, 100, "invoice-future"),
        ("550917", 0, -1, "invoice-total"),
        ("550917", 0, 10_000_001, "invoice-total"),
    ],
)
def test_an_invoice_that_cannot_be_is_refused(
    shop: Shop, number: str, days: int, cents: int, code: str
) -> None:
    invoice = InvoiceIn(number, DAY + timedelta(days=days), cents)

    with pytest.raises(Refused) as refused:
        add_invoice(receive(shop), invoice, today=DAY, at=NOON, by=shop.lee)
    assert [finding.code for finding in refused.value.findings] == [code]
    assert not Invoice.objects.exists()


# --- Lots as people type them


@pytest.mark.parametrize(
    ("typed", "lots"),
    [
        ("", ()),
        ("L24B-07", (("L24B-07", 36),)),
        (" L24B-07 ", (("L24B-07", 36),)),
        ("L24B-07 x 20, L25A x 16", (("L24B-07", 20), ("L25A", 16))),
        ("L24B-07 X 20; L25A", (("L24B-07", 20), ("L25A", 16))),
        ("L24B-07 \N{MULTIPLICATION SIGN} 20", (("L24B-07", 20),)),
        ("L24x7", (("L24x7", 36),)),
        ("LOT X", (("LOT X", 36),)),
        ("A x 40, B", (("A", 40), ("B", 0))),
        (",,", ()),
    ],
)
def test_lots_are_read_as_typed(typed: str, lots: tuple[tuple[str, int], ...]) -> None:
    assert lots_of(typed, 36) == lots


@pytest.mark.parametrize("typed", ["A, B", "L" * 41, f"{'L' * 41} x 3"])
def test_lots_that_cannot_be_told_apart_are_refused(typed: str) -> None:
    with pytest.raises(ValidationError):
        lots_of(typed, 36)
