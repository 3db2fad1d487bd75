"""A delivery in parts: its rest, its lots, its second paper. One set of cans, and the book whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from compliance.queries.whole_book import whole_book_findings
from inventory.models import Container, Delivery, Fate, LotNote, Movement, OtherSlip
from inventory.queries import can_groups, containers, lines_to_come, shelves
from inventory.services import (
    LineIn,
    RestIn,
    RestLineIn,
    drop_rest,
    merge_deliveries,
    receive_delivery,
    receive_rest,
    split_lot,
    undo_delivery,
    weigh,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from tests.factories import DAY, NOON, Shop, cans_of, delivery_in, make_shop, receive, ticket_in
from tests.inventory.slips import NEW, put_in, slip
from tests.inventory.test_at_once import at_once
from tests.pages import errors, said, send, text

LATER = DAY + timedelta(days=3)


@pytest.fixture
def short(shop: Shop) -> Delivery:
    """24 on the slip, 12 came."""
    return receive(shop, LineIn(shop.can12, 24, 12, lots=(("A", 12),), due=LATER))


def rest(shop: Shop, delivery: Delivery, sound: int, damaged: int = 0, **changed: Any) -> Any:
    came = RestLineIn(delivery.lines.get(), sound, damaged, (("B", sound),))
    told = replace(RestIn(LATER, (came,)), **changed)
    return receive_rest(delivery, told, today=LATER, at=NOON, by=shop.lee)


def codes(doing: Callable[[], object]) -> list[str]:
    before = (Movement.objects.count(), Container.objects.count())
    with pytest.raises(Refused) as refused:
        doing()
    assert (Movement.objects.count(), Container.objects.count()) == before
    return [finding.code for finding in refused.value.findings]


# --- The rest


def test_what_was_to_come_arrives_on_the_same_delivery(shop: Shop, short: Delivery) -> None:
    receipt = rest(shop, short, 11, 1)
    line = short.lines.get()

    assert (line.on_slip, line.sound, line.damaged, line.to_come) == (24, 23, 1, 0)
    assert [can.code for can in cans_of(short)][11:13] == ["K-0012", "K-0013"]
    assert receipt.entry.on == LATER
    [shelf] = [one for one in shelves(shop.establishment) if one.refrigerant == "R-134a"]
    assert shelf.in_cans == grams(23 * 340)
    assert whole_book_findings() == []


def test_the_rest_may_come_in_parts(shop: Shop, short: Delivery) -> None:
    rest(shop, short, 5)

    assert short.lines.get().to_come == 7
    assert codes(lambda: rest(shop, short, 8)) == ["rest-too-many"]
    rest(shop, short, 7)
    assert not lines_to_come(shop.establishment, since=DAY).exists()


@pytest.mark.parametrize(
    ("sound", "changed", "code"),
    [
        (0, {}, "rest-empty"),
        (-1, {}, "line-negative"),
        (1, {"on": LATER + timedelta(days=1)}, "rest-day"),
        (1, {"on": DAY - timedelta(days=1)}, "rest-day"),
    ],
)
def test_a_rest_that_cannot_be_is_refused(
    shop: Shop, short: Delivery, sound: int, changed: dict[str, Any], code: str
) -> None:
    assert code in codes(lambda: rest(shop, short, sound, **changed))


def test_the_same_rest_typed_by_two_people_at_once_comes_once(live_db: None) -> None:
    shop = make_shop()
    short = receive(shop, LineIn(shop.can12, 24, 12))

    answers = at_once(*[lambda: rest(shop, short, 12)] * 2)

    assert sorted(type(answer).__name__ for answer in answers) == ["Receipt", "Refused"]
    assert len(cans_of(short)) == 24


def test_more_was_ordered_than_the_slip_says(shop: Shop) -> None:
    receive(shop, LineIn(shop.can12, 24, 24, ordered=36))

    assert [line.to_come for line in lines_to_come(shop.establishment, since=DAY)] == [12]


def test_a_rest_that_will_not_come_is_waited_for_no_longer(shop: Shop, short: Delivery) -> None:
    drop_rest(short.lines.get(), why="out of stock, by phone", at=NOON, by=shop.lee)

    assert short.lines.get().to_come == 0
    assert codes(lambda: rest(shop, short, 1)) == ["rest-too-many"]


def test_an_undone_delivery_takes_its_rest_back_too(shop: Shop, short: Delivery) -> None:
    rest(shop, short, 12)
    undo_delivery(short, why="another shop's", today=LATER, at=NOON, by=shop.marta)

    assert {can.book for can in containers(shop.establishment).filter(kind="can")} == {ZERO}
    assert "delivery-undone" in codes(lambda: rest(shop, short, 1))
    assert whole_book_findings() == []


# --- Lots


def test_a_lot_is_split_later_and_no_number_changes(shop: Shop, short: Delivery) -> None:
    cans = cans_of(short)
    split_lot(short, cans[8:], "L25A", at=NOON, by=shop.lee)

    assert {group.title: len(group.cans) for group in can_groups(short)} == {
        "R-134a 12-oz can, lot A": 8,
        "R-134a 12-oz can, lot L25A": 4,
    }
    assert [can.code for can in cans_of(short)] == [can.code for can in cans]


def test_the_newest_word_on_a_lot_holds(shop: Shop, short: Delivery) -> None:
    can = cans_of(short)[0]
    for lot in ("L25A", "L25B"):
        split_lot(short, [can], lot, at=NOON, by=shop.lee)

    assert Container.objects.get(pk=can.pk).lot_now == "L25B"
    assert Container.objects.get(pk=can.pk).lot == "A"


def test_a_lot_is_of_cans_of_this_delivery_and_has_a_name(shop: Shop, short: Delivery) -> None:
    other = cans_of(receive(shop, slip="88413"))[0]

    def splits(*cans: Container, lot: str = "B") -> list[str]:
        return codes(lambda: split_lot(short, cans, lot, at=NOON, by=shop.lee))

    assert splits(other) == ["lot-other-cans"]
    assert splits() == ["lot-no-cans"]
    assert splits(*cans_of(short), lot=" ") == ["lot-empty"]
    assert not LotNote.objects.exists()


# --- In twice


def test_the_same_cans_of_one_day_are_asked_about(shop: Shop) -> None:
    first = receive(shop)
    again = delivery_in(shop, slip="550917")

    with pytest.raises(Refused, match=f"looks like slip 88412, already in as {first.number}. Same one?"):
        receive_delivery(again, shop.establishment, today=DAY, at=NOON, by=shop.marta)
    other = replace(again, another=True)
    assert receive_delivery(other, shop.establishment, today=DAY, at=NOON, by=shop.marta).slip == "550917"


@pytest.mark.parametrize("changed", [{"on": DAY - timedelta(days=1)}, {"sound": 11, "on_slip": 11}])
def test_another_day_or_number_of_cans_is_another_delivery(shop: Shop, changed: dict[str, Any]) -> None:
    receive(shop)
    on = changed.pop("on", DAY)
    line = replace(LineIn(shop.can12, 12, 12), **changed)

    assert receive_delivery(
        delivery_in(shop, line, slip="550917", on=on), shop.establishment, today=DAY, at=NOON, by=shop.lee
    )


def test_merging_keeps_both_papers_and_one_set_of_cans(shop: Shop) -> None:
    first, second = receive(shop), receive(shop, slip="550917")
    merge_deliveries(first, second, today=DAY, at=NOON, by=shop.lee)

    assert [shelf.in_cans for shelf in shelves(shop.establishment) if shelf.refrigerant == "R-134a"] == [
        grams(12 * 340)
    ]
    assert Fate.objects.filter(what=Fate.What.UNDONE).count() == 12
    assert codes(lambda: receive(shop, slip="550917")) == ["slip-already-in"]
    assert whole_book_findings() == []


def test_a_delivery_whose_can_was_used_is_the_one_to_keep(shop: Shop) -> None:
    first, second = receive(shop), receive(shop, slip="550917")
    weigh(cans_of(second)[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)

    assert codes(lambda: merge_deliveries(first, second, today=DAY, at=NOON, by=shop.lee)) == [
        "delivery-used"
    ]
    assert codes(lambda: merge_deliveries(first, first, today=DAY, at=NOON, by=shop.lee)) == ["merge-itself"]
    assert merge_deliveries(second, first, today=DAY, at=NOON, by=shop.lee).was == first


# --- The pages


def test_the_slip_of_another_paper_is_kept_with_the_first(shop: Shop, lee: Client, marta: Client) -> None:
    put_in(lee, slip(shop))
    invoice = {"number": "550917", "dated": "2024-04-03", "total": "642.18"}
    asked = put_in(marta, slip(shop, slip="550917", **invoice))
    counted = asked.context["form"].counted_now
    assert "Same one?" in text(asked)

    page = marta.get(
        send(marta, NEW, do="same", counted=counted, **slip(shop, slip="550917", **invoice))["Location"]
    )

    delivery = Delivery.objects.get()
    assert said(page) == [f"Slip 550917 is kept with {delivery.number}. No can was added."]
    assert OtherSlip.objects.get().delivery == delivery
    assert delivery.invoices.get().number == "550917"
    assert Container.objects.filter(kind="can").count() == 36


def test_the_same_cans_may_be_another_delivery(shop: Shop, lee: Client) -> None:
    put_in(lee, slip(shop))
    counted = put_in(lee, slip(shop, slip="88413")).context["form"].counted_now

    assert send(lee, NEW, do="another", counted=counted, **slip(shop, slip="88413")).status_code == 302
    assert Container.objects.filter(kind="can").count() == 72


def test_the_rest_is_taken_in_on_its_page(shop: Shop, lee: Client, short: Delivery) -> None:
    url = reverse("deliveries:rest", args=[short.number])
    assert "12 cans to come" in text(lee.get(url))
    page = lee.get(send(lee, url, on=LATER.isoformat(), sound_0="12", lots_0="B")["Location"])

    assert said(page) == ["In the cabinet: 12 cans, K-0013 to K-0024."]
    assert Container.objects.filter(lot="B").count() == 12
    assert errors(send(lee, url, on=LATER.isoformat())) == ["Say how many cans came."]


def test_the_usual_order_is_one_tap(shop: Shop, lee: Client) -> None:
    receive(shop, LineIn(shop.can12, 36, 36), LineIn(shop.can8, 5, 5))
    page = lee.get(NEW)
    assert "Sample Parts Supply: 36 R-134a 12-oz can, 5 R-1234yf 8-oz can" in text(page)

    form = lee.get(f"{NEW}?usual={shop.supplier.pk}").context["form"]

    assert form.count == 2
    assert (form["cases_0"].value(), form["cans_1"].value(), form["type_1"].value()) == (3, 5, shop.can8.pk)


@pytest.mark.parametrize("usual", ["", "0", "x", "99999999999999999999"])
def test_a_usual_order_that_is_none_leaves_the_boxes_as_they_were(
    shop: Shop, lee: Client, usual: str
) -> None:
    assert lee.get(f"{NEW}?usual={usual}").context["form"].count == 1


def test_a_technician_sees_the_counts_and_no_button(shop: Shop, dev: Client, short: Delivery) -> None:
    seen = text(dev.get(reverse("deliveries:page", args=[short.number])))

    assert "To come 12 × R-134a 12-oz can, Apr 5 2024" in seen
    assert not any(word in seen for word in ("It came", "Credited", "Send cans back", "Papers"))
