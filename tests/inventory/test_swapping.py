"""Two cans that were taken for each other, put right with one slip."""

from __future__ import annotations

import pytest

from inventory.models import Container, Movement, SwapSlip, WeighTicket
from inventory.services import SwapIn, swap_cans
from shop.core.findings import Refused
from shop.core.mass import grams
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, book_of, cans_of, receive, ticket_in


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def closed(shop: Shop, cans: list[Container]) -> Bay:
    """K-0001 emptied, and 171 g written against K-0002 that really came out of K-0003."""
    bay = Bay.check_in(shop)
    bay.straight(cans[0], cans[1])
    return bay


def swap(shop: Shop, cans: list[Container], heavier: str = "465", lighter: str = "295") -> SwapIn:
    return SwapIn(
        cans[1], cans[2], ticket_in(shop, heavier), ticket_in(shop, lighter), "both were open on the bench"
    )


def test_one_slip_moves_what_the_scale_shows_and_weighs_both(
    closed: Bay, shop: Shop, cans: list[Container]
) -> None:
    assert (book_of(shop)["K-0002"], book_of(shop)["K-0003"]) == (grams(169), grams(340))

    slip = swap_cans(swap(shop, cans), on=DAY, at=NOON, by=shop.lee)

    # K-0002 shows 465 where 293 was written: 172 g more. K-0003 shows 295 where a full can shows 466: 171 g less,
    # which both of them show
    assert slip.number == "CS24-0001"
    (moved,) = Movement.objects.filter(entry=slip.entry)
    assert (moved.source_id, moved.target_id, moved.purpose) == ("K-0003", "K-0002", "swapped")
    assert (book_of(shop)["K-0002"], book_of(shop)["K-0003"]) == (grams(340), grams(169))
    assert WeighTicket.objects.filter(container=cans[1]).last() == slip.heavier_ticket


@pytest.mark.parametrize(("heavier", "lighter"), [("465", "340"), ("293", "466"), ("300", "470")])
def test_two_cans_that_do_not_answer_each_other_are_no_swap(
    closed: Bay, shop: Shop, cans: list[Container], heavier: str, lighter: str
) -> None:
    before = WeighTicket.objects.count()
    with pytest.raises(Refused, match="Two swapped cans would show the same"):
        swap_cans(swap(shop, cans, heavier, lighter), on=DAY, at=NOON, by=shop.lee)
    assert WeighTicket.objects.count() == before
    assert not SwapSlip.objects.exists()


def test_a_can_of_an_open_job_is_put_right_on_that_job(shop: Shop, cans: list[Container]) -> None:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.draw(cans[1], "466", "293")
    with pytest.raises(Refused, match="is on the open job J24-0001"):
        swap_cans(swap(shop, cans), on=DAY, at=NOON, by=shop.lee)
