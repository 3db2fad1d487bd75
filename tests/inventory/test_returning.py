"""Damaged cans, cans that go back, and their credit: what the book says, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from compliance.queries.whole_book import whole_book_findings
from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import Container, Credit, Damage, Delivery, Fate, Movement, ReturnSlip
from inventory.queries import containers, flows_up_to, held_by, moved, without_credit
from inventory.services import (
    CreditIn,
    DamageIn,
    InvoiceIn,
    LineIn,
    ReturnIn,
    add_credit,
    add_invoice,
    note_damage,
    put_invoice_right,
    return_cans,
    undo_delivery,
    weigh,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, grams
from tests.factories import DAY, NOON, Shop, cans_of, make_shop, receive, ticket_in
from tests.inventory.test_at_once import at_once

LATER = DAY + timedelta(days=7)


@pytest.fixture
def delivery(shop: Shop) -> Delivery:
    """Three sound cans, K-0001 to K-0003, and a crushed one, K-0004."""
    return receive(shop, LineIn(shop.can12, 4, 3, damaged=1))


@pytest.fixture
def crushed(delivery: Delivery) -> Container:
    return Container.objects.get(pk="K-0004")


def damage(shop: Shop, can: Container, reading: str = "", **changed: str) -> Damage:
    said = {"what": "crushed seam", "where": "outside, upright"} | changed
    ticket = ticket_in(shop, reading) if reading else None
    return note_damage(can, DamageIn(said["what"], said["where"], ticket), today=DAY, at=NOON, by=shop.lee)


def give_back(shop: Shop, delivery: Delivery, *cans: Container, **changed: Any) -> ReturnSlip:
    sent = replace(ReturnIn(cans, DAY, ReturnSlip.To.SUPPLIER, "the driver", "crushed seam"), **changed)
    return return_cans(delivery, sent, today=DAY, at=NOON, by=shop.lee)


def refusal(doing: Callable[[], object]) -> list[str]:
    """The codes of a refusal, and nothing written by it."""
    before = (Movement.objects.count(), Fate.objects.count(), Damage.objects.count(), Credit.objects.count())
    with pytest.raises(Refused) as refused:
        doing()
    assert (
        Movement.objects.count(),
        Fate.objects.count(),
        Damage.objects.count(),
        Credit.objects.count(),
    ) == before
    return [finding.code for finding in refused.value.findings]


def in_cans(shop: Shop, *purposes: Purpose) -> Mass:
    """What left all cans for these purposes, less what came into them; with none, what they hold."""
    flows = flows_up_to(shop.establishment, DAY)
    if not purposes:
        return held_by(flows, "R-134a", PlaceKind.CAN)
    return moved(flows, "R-134a", purposes, out_of=PlaceKind.CAN)


# --- Damaged


def test_what_a_crushed_can_lost_is_booked_apart_from_our_work(shop: Shop, crushed: Container) -> None:
    # 340 + 126 = 466 g full; weighed 402 g, so 64 g were gone before us.
    noted = damage(shop, crushed, "402")

    assert noted.lost == grams(64)
    rows = list(noted.entry.movements.values_list("source_id", "target_id", "mass", "purpose"))  # type: ignore[union-attr]
    assert rows == [
        ("supplier", "K-0004", grams(64), "damaged"),
        ("K-0004", "air", grams(64), "damaged"),
    ]
    assert in_cans(shop) == grams(3 * 340)
    assert in_cans(shop, Purpose.RELEASED, Purpose.PURGED) == ZERO
    assert in_cans(shop, Purpose.DAMAGED) == ZERO
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("reading", "lost"), [("466", 0), ("468", 0), ("462", 0), ("461", 5), ("126", 340), ("123", 340)]
)
def test_a_loss_is_more_than_shells_vary_by_and_no_more_than_the_can_held(
    shop: Shop, crushed: Container, reading: str, lost: int
) -> None:
    """Shells of this kind vary by 4 g either way."""
    assert damage(shop, crushed, reading).lost == grams(lost)
    assert containers(shop.establishment).get(pk="K-0004").book == ZERO


def test_a_can_found_damaged_later_leaves_the_book_whole(shop: Shop, delivery: Delivery) -> None:
    can = cans_of(delivery)[0]
    damage(shop, can, "402")

    assert Fate.objects.get(container=can).what == Fate.What.REFUSED
    assert containers(shop.establishment).get(pk=can.pk).book == ZERO
    assert in_cans(shop) == grams(2 * 340)
    assert in_cans(shop, Purpose.DAMAGED) == grams(340)
    assert in_cans(shop, Purpose.RELEASED) == ZERO
    line = delivery.lines.get()
    assert (line.sound, line.damaged) == (2, 2)
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("reading", "said", "code"),
    [
        ("402", {"what": ""}, "damage-what"),
        ("402", {"where": " "}, "damage-where"),
        ("100", {}, "can-below-shell"),
        ("520", {}, "can-above-full"),
        ("14.2", {}, "unit-slip"),
    ],
)
def test_damage_that_cannot_be_is_refused(
    shop: Shop, crushed: Container, reading: str, said: dict[str, str], code: str
) -> None:
    assert refusal(lambda: damage(shop, crushed, reading, **said)) == [code]


def test_a_can_that_was_opened_here_is_ours_to_explain(shop: Shop, delivery: Delivery) -> None:
    can = cans_of(delivery)[0]
    weigh(can, ticket_in(shop, "300"), at=NOON, by=shop.dev)

    assert refusal(lambda: damage(shop, can, "300")) == ["damage-used"]


def test_a_loss_is_booked_once(shop: Shop, crushed: Container) -> None:
    damage(shop, crushed, "402")

    assert refusal(lambda: damage(shop, crushed, "380")) == ["damage-weighed"]
    assert damage(shop, crushed, where="by the gate").ticket is None


def test_a_delivery_with_a_can_refused_later_is_not_undone(shop: Shop, delivery: Delivery) -> None:
    damage(shop, cans_of(delivery)[0])

    with pytest.raises(Refused, match="refused or sent back"):
        undo_delivery(delivery, why="typed twice", today=DAY, at=NOON, by=shop.marta)


# --- Going back


def test_a_refused_can_goes_back_without_a_gram(shop: Shop, delivery: Delivery, crushed: Container) -> None:
    slip = give_back(shop, delivery, crushed)

    assert slip.number == "RS24-0001"
    assert slip.entry.movements.count() == 0
    assert (delivery.lines.get().returned, delivery.lines.get().credited) == (1, 0)


def test_a_sound_can_goes_back_with_what_it_holds(shop: Shop, delivery: Delivery) -> None:
    can = cans_of(delivery)[1]
    give_back(shop, delivery, can, reason="wrong refrigerant sent")

    assert Fate.objects.get(container=can).what == Fate.What.RETURNED
    assert in_cans(shop, Purpose.RETURNED) == grams(340)
    assert in_cans(shop) == grams(2 * 340)
    assert whole_book_findings() == []


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"cans": ()}, "return-empty"),
        ({"handed_to": " "}, "return-to"),
        ({"reason": ""}, "return-why"),
        ({"on": LATER}, "return-day"),
        ({"on": DAY - timedelta(days=1)}, "return-day"),
    ],
)
def test_a_return_needs_a_destination_a_reason_and_its_day(
    shop: Shop, delivery: Delivery, crushed: Container, changed: dict[str, Any], code: str
) -> None:
    assert refusal(lambda: give_back(shop, delivery, crushed, **changed)) == [code]


def test_a_can_goes_back_once_and_with_its_own_delivery(
    shop: Shop, delivery: Delivery, crushed: Container
) -> None:
    give_back(shop, delivery, crushed)
    other = receive(shop, slip="88413")

    assert refusal(lambda: give_back(shop, delivery, crushed)) == ["return-left"]
    assert refusal(lambda: give_back(shop, other, cans_of(delivery)[0])) == ["return-other"]
    assert refusal(lambda: damage(shop, crushed)) == ["damage-left"]


def test_two_people_send_one_can_back_once(live_db: None) -> None:
    shop = make_shop()
    delivery = receive(shop, LineIn(shop.can12, 1, 1))
    can = cans_of(delivery)[0]

    answers = at_once(*[lambda: give_back(shop, delivery, can)] * 2)

    assert sorted(type(answer).__name__ for answer in answers) == ["Refused", "ReturnSlip"]
    assert Movement.objects.filter(purpose="returned").count() == 1


# --- Credit


def billed(shop: Shop, delivery: Delivery, cents: int = 6840) -> None:
    add_invoice(delivery, InvoiceIn("550917", DAY, cents), today=DAY, at=NOON, by=shop.lee)


def credit(shop: Shop, slip: ReturnSlip, cents: int, **changed: Any) -> Credit:
    said = replace(CreditIn("CR-7", DAY, cents), **changed)
    return add_credit(slip, said, today=DAY, at=NOON, by=shop.lee)


def test_a_credit_is_matched_and_nothing_waits(shop: Shop, delivery: Delivery, crushed: Container) -> None:
    billed(shop, delivery)
    slip = give_back(shop, delivery, crushed)
    assert list(without_credit(shop.establishment, up_to=DAY)) == [slip]
    before = Movement.objects.count()
    credit(shop, slip, 1710)

    assert not without_credit(shop.establishment, up_to=DAY).exists()
    assert delivery.lines.get().credited == 1
    assert Movement.objects.count() == before


def test_credits_never_come_to_more_than_the_delivery(
    shop: Shop, delivery: Delivery, crushed: Container
) -> None:
    billed(shop, delivery)
    slip = give_back(shop, delivery, crushed)
    credit(shop, slip, 6000)

    assert refusal(lambda: credit(shop, slip, 841)) == ["credit-more"]
    assert credit(shop, slip, 840).cents == 840


def test_two_credits_at_once_do_not_come_to_more_than_the_delivery(live_db: None) -> None:
    shop = make_shop()
    delivery = receive(shop, LineIn(shop.can12, 2, 1, damaged=1))
    billed(shop, delivery, 1000)
    slip = give_back(shop, delivery, Container.objects.get(pk="K-0002"))

    answers = at_once(*[lambda: credit(shop, slip, 600)] * 2)

    assert sorted(type(answer).__name__ for answer in answers) == ["Credit", "Refused"]


@pytest.mark.parametrize(
    ("cents", "changed", "code"),
    [
        (1, {}, "credit-no-invoice"),
        (0, {"number": " "}, "credit-number"),
        (0, {"dated": LATER}, "credit-day"),
    ],
)
def test_a_credit_that_cannot_be_is_refused(
    shop: Shop, delivery: Delivery, crushed: Container, cents: int, changed: dict[str, Any], code: str
) -> None:
    slip = give_back(shop, delivery, crushed)

    assert refusal(lambda: credit(shop, slip, cents, **changed)) == [code]


def test_a_can_that_was_never_billed_is_settled_with_nothing(
    shop: Shop, delivery: Delivery, crushed: Container
) -> None:
    credit(shop, give_back(shop, delivery, crushed), 0, number="not billed")

    assert not without_credit(shop.establishment, up_to=DAY).exists()


def test_a_price_is_not_put_right_below_what_was_credited(
    shop: Shop, delivery: Delivery, crushed: Container
) -> None:
    billed(shop, delivery)
    credit(shop, give_back(shop, delivery, crushed), 6000)
    old = delivery.invoices.get()

    with pytest.raises(Refused, match="More was credited"):
        put_invoice_right(old, InvoiceIn("550917", DAY, 5999), [delivery], today=DAY, at=NOON, by=shop.lee)
    assert delivery.invoices.get() == old
