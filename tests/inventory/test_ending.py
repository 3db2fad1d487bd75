"""What becomes of a container: disposed of, kept, on hold, lost; each with who, when and why, or a sentence why not."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from inventory.core.weighing import Style
from inventory.models import Container, CountLine, Disposal, Fate, Hold, KeptForNext, Movement, SpokenFor
from inventory.queries import in_the_cabinet, usable_cans
from inventory.services import (
    CountedIn,
    CountIn,
    DisposalIn,
    LineIn,
    TicketIn,
    dispose_of,
    end_hold,
    end_use,
    keep_for_next,
    put_on_hold,
    record_count,
    say_lost,
    weigh,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, book_of, cans_of, reading, receive, ticket_in
from tests.pages import errors, send, text

ENDED, EMPTIES = "/containers/K-0001/ended/", "/containers/empties/"
SCRAP = DisposalIn(Disposal.How.SCRAP)


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Four 12-oz cans; what was in K-0001 and K-0002 went out, and they weigh 135 g and 128 g: 9 g and 2 g over the
    shell of 126 g. The book still has 9 g and 6 g in them."""
    made = cans_of(receive(shop, LineIn(shop.can12, 4, 4)))
    for can, last in ((made[0], "135"), (made[1], "132")):
        counted = CountIn(DAY, [CountedIn(can, CountLine.How.WEIGHED, ticket_in(shop, last))])
        record_count(counted, shop.establishment, at=NOON, by=shop.lee)
    weigh(made[1], ticket_in(shop, "128"), at=NOON, by=shop.dev)
    return made


def dispose(shop: Shop, *cans: Container, said: DisposalIn = SCRAP) -> tuple[Disposal, ...]:
    return dispose_of(cans, said, on=DAY, at=NOON, by=shop.dev)


def miss(shop: Shop, can: Container) -> None:
    counted = CountIn(DAY, [CountedIn(can, CountLine.How.MISSING)])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)


# --- Emptied and disposed of


def test_several_empties_go_at_once_and_what_the_scale_saw_is_released(
    shop: Shop, cans: list[Container]
) -> None:
    made = dispose(shop, cans[0], cans[1])

    assert [one.container_id for one in made] == ["K-0001", "K-0002"]
    assert {one.fate.what for one in Container.objects.filter(pk__in=["K-0001", "K-0002"])} == {"emptied"}
    moved = Movement.objects.filter(entry__disposal__isnull=False).values_list(
        "source_id", "target_id", "mass", "purpose"
    )
    # K-0001: 9 g over its shell is more than the 4 g that shells vary; K-0002: 2 g cannot be told from its shell
    assert list(moved) == [
        ("K-0001", "air", grams(9), "released"),
        ("K-0002", "fill difference", grams(6), "fill"),
    ]
    assert Movement.objects.balances(["K-0001", "K-0002"]) == {"K-0001": ZERO, "K-0002": ZERO}


def test_a_can_with_more_than_a_heel_is_not_thrown_away(shop: Shop, cans: list[Container]) -> None:
    weigh(cans[2], ticket_in(shop, "466"), at=NOON, by=shop.dev)

    with pytest.raises(Refused, match="K-0003 still has 340 g in it, more than the shop's limit of 20 g"):
        dispose(shop, cans[0], cans[2])
    assert not Disposal.objects.exists()


def test_what_else_keeps_a_can_from_being_thrown_away(shop: Shop, cans: list[Container]) -> None:
    with pytest.raises(Refused, match="K-0003 was never opened"):
        dispose(shop, cans[2])
    with pytest.raises(Refused, match="A cylinder is refilled or shipped"):
        dispose(shop, shop.rc02)
    weigh(cans[0], TicketIn(shop.scale, reading("250"), Style.TAP), at=NOON, by=shop.dev)
    with pytest.raises(Refused, match="Weigh it bare first"):
        dispose(shop, cans[0])
    SpokenFor.objects.create(container=cans[1], holder="J24-0001")
    with pytest.raises(Refused, match="belongs to the open job J24-0001"):
        dispose(shop, cans[1])


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (DisposalIn("bin"), "Choose how it was disposed of"),
        (DisposalIn(Disposal.How.OTHER), "Say in a few words how"),
    ],
)
def test_how_it_went_is_said(shop: Shop, cans: list[Container], said: DisposalIn, sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        dispose(shop, cans[0], said=said)
    with pytest.raises(Refused, match="Tick at least one can"):
        dispose(shop)


def test_a_can_whose_heel_was_recovered_is_disposed_of_later_and_once(
    shop: Shop, cans: list[Container]
) -> None:
    end_use(cans[0], Fate.What.EMPTIED, why="heel into RC-02", at=NOON, by=shop.dev)
    [made] = dispose(shop, Container.objects.get(pk="K-0001"))

    assert made.entry is None
    with pytest.raises(Refused, match="disposed of already"):
        dispose(shop, Container.objects.get(pk="K-0001"))


def test_ten_empties_are_ticked_on_one_page(shop: Shop, cans: list[Container], dev: Client) -> None:
    page = text(dev.get(EMPTIES))
    assert "K-0001, last 135 g, 9 g by the book" in page
    assert "Pierce or crush only where your state and your hauler allow it." in page

    page = text(dev.get(send(dev, EMPTIES, cans=["K-0001", "K-0002"], how="scrap metal")["Location"]))
    assert "2 cans are marked empty and disposed of." in page
    assert Disposal.objects.count() == 2


# --- Kept for the next job


def test_a_heel_kept_for_the_next_job_shows_in_the_cabinet_until_the_can_is_weighed(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    kept = keep_for_next(cans[0], at=NOON, by=shop.dev)
    assert kept.ticket.reading_text == "135"
    assert "Kept for the next job Dev Larkin" in text(lee.get("/cabinet/"))
    with pytest.raises(Refused, match="Dev Larkin kept it for the next job already"):
        keep_for_next(cans[0], at=NOON, by=shop.rosa)

    weigh(cans[0], ticket_in(shop, "130"), at=NOON, by=shop.dev)
    assert "Kept for the next job" not in text(lee.get("/cabinet/"))


def test_a_sealed_can_and_a_cylinder_are_not_kept(shop: Shop, cans: list[Container]) -> None:
    for one, sentence in ((cans[2], "is sealed"), (shop.rc02, "Only what is left in a can")):
        with pytest.raises(Refused, match=sentence):
            keep_for_next(one, at=NOON, by=shop.dev)
    assert not KeptForNext.objects.exists()


# --- On hold


def test_a_can_on_hold_is_offered_to_no_job_until_it_is_taken_off(shop: Shop, cans: list[Container]) -> None:
    put_on_hold(cans[2], why="label smells of oil", at=NOON, by=shop.dev)
    assert "K-0003" not in usable_cans(shop.establishment, "R-134a").values_list("pk", flat=True)
    assert in_the_cabinet(shop.establishment).get(pk="K-0003").held_why == "label smells of oil"
    with pytest.raises(Refused, match="on hold already"):
        put_on_hold(cans[2], why="again", at=NOON, by=shop.rosa)
    with pytest.raises(Refused, match="Dev Larkin put it on hold"):
        end_hold(cans[2], why="looks fine", at=NOON, by=shop.rosa)

    end_hold(cans[2], why="looks fine", at=NOON, by=shop.marta)
    assert "K-0003" in usable_cans(shop.establishment, "R-134a").values_list("pk", flat=True)
    with pytest.raises(Refused, match="is not on hold"):
        end_hold(cans[2], why="again", at=NOON, by=shop.marta)


def test_a_hold_says_why(shop: Shop, cans: list[Container]) -> None:
    with pytest.raises(Refused, match="Say why"):
        put_on_hold(cans[2], why=" ", at=NOON, by=shop.dev)
    assert not Hold.objects.exists()


# --- Lost


def test_the_owner_says_that_a_can_is_lost_after_a_count_missed_it(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    with pytest.raises(Refused, match="The last count did not miss K-0003"):
        say_lost(cans[2], why="gone", on=DAY, at=NOON, by=shop.marta)
    miss(shop, cans[2])
    with pytest.raises(Refused, match="Only the owner"):
        say_lost(cans[2], why="gone", on=DAY, at=NOON, by=shop.lee)

    fate = say_lost(cans[2], why="looked everywhere", on=DAY, at=NOON, by=shop.marta)
    assert (fate.what, fate.by) == (Fate.What.LOST, shop.marta)
    assert "K-0003" not in book_of(shop)
    # its count booked the difference; nothing is booked twice
    assert Movement.objects.filter(source="K-0003").get().mass == grams(340)
    assert "Lost" in text(lee.get("/containers/K-0003/"))


# --- The page


def test_only_what_is_possible_is_offered_and_the_rest_says_why_not(
    shop: Shop, cans: list[Container], dev: Client
) -> None:
    page = dev.get(ENDED)

    offered = [key for key, _ in page.context["form"].fields["what"].choices]
    assert offered == ["kept", "disposed", "hold"]
    words = text(page)
    assert "Lost Only the owner says that a container is lost." in words
    assert "Refused, damaged It was opened here." in words


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ({"what": "kept"}, "Kept for the next job"),
        ({"what": "hold", "why": "smells of oil"}, "On hold"),
        ({"what": "disposed", "how": "scrap metal"}, "Emptied"),
    ],
)
def test_what_is_said_on_the_page_stands_on_the_cans_page(
    shop: Shop, cans: list[Container], dev: Client, said: dict[str, Any], where: str
) -> None:
    assert where in text(dev.get(send(dev, ENDED, **said)["Location"]))


def test_a_hold_without_a_reason_is_asked_for_it(shop: Shop, cans: list[Container], dev: Client) -> None:
    assert errors(send(dev, ENDED, what="hold"), "why") == ["Say why in a few words."]
    assert errors(send(dev, ENDED, what="disposed"), "how") == ["Choose how it was disposed of."]


def test_a_sealed_can_goes_back_by_its_own_page(shop: Shop, cans: list[Container], lee: Client) -> None:
    assert "/deliveries/D24-0001/back/" in lee.get("/containers/K-0003/ended/").content.decode()
    assert "/shipments/new/" in lee.get("/containers/RC-02/ended/").content.decode()


def test_no_link_leads_where_a_role_does_not_get_in(
    shop: Shop, cans: list[Container], dev: Client, lee: Client
) -> None:
    words = text(dev.get("/containers/K-0003/ended/"))
    assert "Returned to the supplier The front office or the owner does this." in words
    assert "Delivery undone The owner does this." in text(lee.get("/containers/K-0003/ended/"))
    for who, address in ((dev, "/containers/K-0001/ended/"), (lee, "/containers/K-0003/ended/")):
        page = who.get(address).content.decode()
        links = re.findall(r'<a href="(/(?:deliveries|shipments|containers)/[^"]+)">Go there', page)
        assert links
        assert {who.get(link).status_code for link in links} == {200}


def test_a_lost_can_is_said_by_the_owner_on_the_page(
    shop: Shop, cans: list[Container], sign_on: SignOn
) -> None:
    miss(shop, cans[2])
    marta = sign_on(shop.marta)
    assert "The last count did not find it." in text(marta.get("/containers/K-0003/ended/"))
    send(marta, "/containers/K-0003/ended/", what="lost", why="looked everywhere")
    assert Container.objects.get(pk="K-0003").fate.what == "lost"
