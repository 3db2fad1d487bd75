"""Counts: the page, the opening count, and what a count writes."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.models import Container, Count, CountLine, Entry, Movement, WeighTicket
from inventory.queries import count_sums, counts, earlier_differences, in_the_cabinet, shelves
from inventory.services import (
    CountedIn,
    CountIn,
    LineIn,
    OpeningIn,
    TicketIn,
    open_cabinet,
    record_count,
    weigh,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, Unit, grams
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment
from tests.conftest import SignOn
from tests.factories import (
    DAY,
    NOON,
    Shop,
    cans_of,
    make_establishment,
    make_owner,
    reading,
    receive,
    ticket_in,
)
from tests.pages import errors, send, text

NEW, OPENING = "/counts/new/", "/counts/opening/"


def book(shop: Shop) -> dict[str, Mass]:
    """What the book says each container holds."""
    return {container.code: container.book for container in in_the_cabinet(shop.establishment)}


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Four 12-oz cans; K-0001 is open and weighed 300 g."""
    made = cans_of(receive(shop, LineIn(shop.can12, 4, 4, lots=(("L24B-07", 4),))))
    weigh(made[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    weigh(made[0], ticket_in(shop, "300"), at=NOON, by=shop.dev)
    return made


def everything(shop: Shop, **changed: Any) -> dict[str, Any]:
    """All three sealed cans ticked, the open one and both cylinders (17.1 lb, empty) weighed."""
    right = {
        "all_lot_0": "on",
        "scale": shop.scale.pk,
        "K-0001": "300",
        "cylinder_scale": shop.scale.pk,
        "RC-02": "7757",
        "RC-05": "7757",
    }
    return {**right, **changed}


# --- Who may, and empty states


def test_a_technician_does_not_sign_a_count(shop: Shop, dev: Client) -> None:
    for url in (NEW, OPENING):
        assert dev.get(url).status_code == 403
        assert send(dev, url, do="sign").status_code == 403


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_reads_the_counts(shop: Shop, sign_on: SignOn, who: str) -> None:
    assert "The cabinet was never counted." in text(sign_on(getattr(shop, who)).get("/counts/"))


def test_an_empty_cabinet_has_nothing_to_count(db: None, sign_on: SignOn) -> None:
    owner = sign_on(make_owner(make_establishment(), "Otto Binder"))

    assert "There is nothing to count." in text(owner.get(NEW))
    assert "No kind of can is on the list." in text(owner.get(OPENING))


# --- The count


def test_the_expected_weight_is_hidden_until_signed(shop: Shop, cans: list[Container], lee: Client) -> None:
    page = text(lee.get(NEW))
    added_up = text(send(lee, NEW, do="add up", **everything(shop)))

    for words in (page, added_up):
        assert "340 g" not in words
        assert "Expected" not in words
    assert "3 sealed 1,020 g 36.0 oz by label" in added_up
    assert not Count.objects.exists()


def test_what_an_open_can_weighs_is_what_it_holds_from_now_on(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop))["Location"]))

    # K-0001: 300 g less a shell of 126 g is 174 g; the book still had 340 g, for no job was closed on it.
    # RC-02: 7757 g less 17.1 lb (7,756.43 g) is 0.57 g. In all 0.57 - 166 = -165.43 g.
    assert "R-134a Difference −165 g" in page
    assert "K-0001 Weighed −166 g" in page
    assert book(shop)["K-0001"] == grams(174)
    assert book(shop)["K-0002"] == grams(340)


def test_a_count_that_agrees_moves_nothing(shop: Shop, cans: list[Container], lee: Client) -> None:
    send(lee, NEW, do="sign", all_lot_0="on", rest="leave out")

    assert Count.objects.get().entry.movements.count() == 0
    assert book(shop)["K-0001"] == grams(340)


def test_a_difference_is_booked_as_a_difference_never_as_charged(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    send(lee, NEW, do="sign", **everything(shop))
    moved = Movement.objects.filter(entry__count__isnull=False)

    assert {row.purpose for row in moved} == {"counted"}
    assert {row.target_id for row in moved if row.source_id == "K-0001"} == {"unexplained"}


def test_every_weighing_of_a_count_is_a_weigh_ticket(shop: Shop, cans: list[Container], lee: Client) -> None:
    send(lee, NEW, do="sign", **everything(shop))

    last = WeighTicket.objects.filter(container="K-0001").last()
    assert last is not None
    assert (last.reading_text, last.reading_unit, last.by) == ("300", "g", shop.lee)
    assert WeighTicket.objects.filter(container="RC-02").count() == 1


def test_what_has_no_answer_has_to_be_explained_first(shop: Shop, cans: list[Container], lee: Client) -> None:
    half: dict[str, Any] = {
        "lot_0": ["K-0002", "K-0003"],
        "all_lot_0": "",
        "scale": shop.scale.pk,
        "K-0001": "300",
    }
    response = send(lee, NEW, do="sign", **half)

    assert errors(response, "rest") == [
        "No tick and no weight for K-0004, RC-02, RC-05. Say what that means."
    ]
    assert not Count.objects.exists()


def test_what_is_left_out_is_not_touched(shop: Shop, cans: list[Container], lee: Client) -> None:
    half: dict[str, Any] = {
        "lot_0": ["K-0002", "K-0003"],
        "scale": shop.scale.pk,
        "K-0001": "300",
        "rest": "leave out",
    }
    send(lee, NEW, do="sign", **half)

    assert book(shop)["K-0004"] == grams(340)
    assert sorted(line.container_id for line in CountLine.objects.all()) == ["K-0001", "K-0002", "K-0003"]


def test_what_was_not_found_leaves_the_book_and_may_be_found_again(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    data = everything(shop, all_lot_0="", lot_0=["K-0002", "K-0003"], rest="not found")
    page = text(lee.get(send(lee, NEW, do="sign", **data)["Location"]))
    assert "K-0004 Not found −340 g" in page
    [shelf] = [shelf for shelf in shelves(shop.establishment) if shelf.refrigerant == "R-134a"]
    assert (shelf.sealed, [can.code for can in shelf.missing]) == (2, ["K-0004"])
    assert "Not found K-0004" in text(lee.get("/cabinet/"))

    again = everything(shop, found_again=["K-0004"])
    send(lee, NEW, do="sign", **again)

    assert book(shop)["K-0004"] == grams(340)


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("K-0001", {"K-0001": "abc"}, ""),
        ("K-0001", {"K-0001": "-300"}, "below zero"),
        ("K-0001", {"K-0001": "300.5"}, ""),
        ("K-0001", {"K-0001": "10.58"}, ""),
        ("K-0001", {"K-0001": "10.58 oz"}, ""),
        ("K-0001", {"K-0001": "60"}, ""),
        ("K-0001", {"K-0001": "4660"}, ""),
        ("K-0001", {"K-0001": "340"}, "got heavier"),
        ("RC-02", {"RC-02": "7000"}, "less than its stamped tare"),
        ("RC-02", {"RC-02": "77570"}, "cannot hold that much"),
        ("scale", {"scale": ""}, "Choose the scale"),
        ("cylinder_scale", {"cylinder_scale": ""}, "Choose the scale"),
        ("scale", {"scale": "999999"}, "Select a valid choice"),
        ("rest", {"K-0001": "", "rest": "forget it"}, "Select a valid choice"),
        ("lot_0", {"all_lot_0": "", "lot_0": ["K-9999"]}, "Select a valid choice"),
    ],
)
def test_what_is_wrong_with_a_count_stands_on_its_field(
    shop: Shop, cans: list[Container], lee: Client, field: str, changed: dict[str, Any], sentence: str
) -> None:
    tickets = WeighTicket.objects.count()
    response = send(lee, NEW, do="sign", **everything(shop, **changed))

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert not Count.objects.exists()
    assert not Entry.objects.filter(text="Count").exists()
    assert WeighTicket.objects.count() == tickets


def test_a_count_signed_by_a_double_tap_is_one_count(shop: Shop, cans: list[Container], lee: Client) -> None:
    first = send(lee, NEW, once="same", do="sign", **everything(shop))
    second = send(lee, NEW, once="same", do="sign", **everything(shop))

    assert first["Location"] == second["Location"]
    assert Count.objects.count() == 1


def test_the_counts_before_stand_beside_the_new_one(shop: Shop, cans: list[Container], lee: Client) -> None:
    send(lee, NEW, do="sign", **everything(shop))
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop, **{"K-0001": "299"}))["Location"]))

    assert "Difference −1 g" in page
    assert "Counts before: −165 g." in page
    assert "Within the shop's limit of 50 g" in page


def test_a_difference_past_the_limit_asks_for_a_look(shop: Shop, cans: list[Container], lee: Client) -> None:
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop))["Location"]))

    assert "Look More than the shop's limit of 50 g." in page


# --- The opening count


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
    assert book(shop)["K-0005"] == grams(227)
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


# --- The services


def test_an_opening_count_of_nothing_is_refused(shop: Shop) -> None:
    with pytest.raises(Refused, match="at least one kind"):
        open_cabinet([], shop.establishment, on=DAY, at=NOON, by=shop.lee)
    with pytest.raises(Refused, match="1 to 500"):
        open_cabinet([OpeningIn(shop.can12, 0)], shop.establishment, on=DAY, at=NOON, by=shop.lee)
    assert not Entry.objects.exists()


def test_a_count_of_nothing_is_refused(shop: Shop) -> None:
    with pytest.raises(Refused, match="at least one container"):
        record_count(CountIn(DAY, ()), shop.establishment, at=NOON, by=shop.lee)


def test_a_container_is_counted_once(shop: Shop, cans: list[Container]) -> None:
    twice = [CountedIn(cans[1], CountLine.How.SEALED)] * 2

    with pytest.raises(Refused, match="K-0002 is counted twice"):
        record_count(CountIn(DAY, twice), shop.establishment, at=NOON, by=shop.lee)
    assert not Count.objects.exists()


def test_an_open_can_is_not_counted_by_its_label(shop: Shop, cans: list[Container]) -> None:
    with pytest.raises(Refused, match="K-0001 has been opened; weigh it"):
        record_count(
            CountIn(DAY, [CountedIn(cans[0], CountLine.How.SEALED)]), shop.establishment, at=NOON, by=shop.lee
        )


def test_a_cylinder_has_no_label_to_go_by(shop: Shop) -> None:
    with pytest.raises(Refused, match="RC-02 has been opened"):
        record_count(
            CountIn(DAY, [CountedIn(shop.rc02, CountLine.How.SEALED)]),
            shop.establishment,
            at=NOON,
            by=shop.lee,
        )


def test_weighed_without_a_weight_is_refused(shop: Shop, cans: list[Container]) -> None:
    with pytest.raises(Refused, match="Type what the scale shows for K-0001"):
        record_count(
            CountIn(DAY, [CountedIn(cans[0], CountLine.How.WEIGHED)]),
            shop.establishment,
            at=NOON,
            by=shop.lee,
        )


def test_ounces_typed_for_grams_are_seen(shop: Shop, cans: list[Container]) -> None:
    """10.5 oz is what the can weighs; 10.5 g is nothing. A scale of 0.1 g would let the number through."""
    fine = add_equipment(
        EquipmentIn("SC-3", Equipment.Kind.SCALE, DAY, division=reading("0.1")),
        shop.establishment,
        today=DAY,
        at=NOON,
        by=shop.marta,
    )
    with pytest.raises(Refused) as refused:
        record_count(
            CountIn(DAY, [CountedIn(cans[0], CountLine.How.WEIGHED, TicketIn(fine, reading("10.5")))]),
            shop.establishment,
            at=NOON,
            by=shop.lee,
        )
    assert [finding.code for finding in refused.value.findings] == ["unit-slip"]
    assert refused.value.findings[0].field == "K-0001"


def test_an_empty_can_a_little_lighter_than_its_kind_holds_nothing(shop: Shop, cans: list[Container]) -> None:
    """Shells differ by four grams either way: 124 g under a nominal 126 g is an empty can, not less than nothing."""
    light = CountedIn(cans[0], CountLine.How.WEIGHED, ticket_in(shop, "124"))
    count = record_count(CountIn(DAY, [light]), shop.establishment, at=NOON, by=shop.lee)

    assert count.lines.get().found == ZERO


def test_a_count_adds_up_by_refrigerant(shop: Shop, cans: list[Container]) -> None:
    counted = [CountedIn(can, CountLine.How.SEALED) for can in cans[1:3]]
    counted += [CountedIn(cans[3], CountLine.How.MISSING)]
    record_count(CountIn(DAY, counted), shop.establishment, at=NOON, by=shop.lee)
    [only] = count_sums(counts(shop.establishment).get())

    assert (only.expected, only.found, only.difference) == (grams(1020), grams(680), grams(-340))
    assert only.percent == pytest.approx(-33.333, abs=0.001)
    assert [line.container_id for line in only.biggest] == ["K-0004"]


def test_the_last_six_differences_are_kept_in_order(shop: Shop, cans: list[Container]) -> None:
    for grams_shown in (299, 298, 297, 296, 295, 294, 293, 292):
        ticket = ticket_in(shop, str(grams_shown))
        counted = CountIn(DAY, [CountedIn(cans[0], CountLine.How.WEIGHED, ticket)])
        last = record_count(counted, shop.establishment, at=NOON, by=shop.lee)

    earlier = earlier_differences(last)["R-134a"]
    assert earlier == [grams(-1)] * 6


def test_a_reading_in_ounces_is_kept_as_typed_and_exact(shop: Shop, cans: list[Container]) -> None:
    ounces = add_equipment(
        EquipmentIn("SC-4", Equipment.Kind.SCALE, DAY, division=reading("0.1", Unit.OZ)),
        shop.establishment,
        today=DAY,
        at=NOON,
        by=shop.marta,
    )
    ticket = TicketIn(ounces, reading("10.5", Unit.OZ))
    record_count(
        CountIn(DAY, [CountedIn(cans[0], CountLine.How.WEIGHED, ticket)]),
        shop.establishment,
        at=NOON,
        by=shop.lee,
    )

    last = WeighTicket.objects.filter(container=cans[0]).latest("number")
    assert (last.reading_text, last.reading_unit) == ("10.5", "oz")
    assert last.gross == Mass(297_669_993)  # 10.5 x 28,349,523.125 = 297,669,992.8125 micrograms, half-even


def test_pages_of_counts_are_in_order(shop: Shop, cans: list[Container], lee: Client) -> None:
    for days in (3, 0):
        record_count(
            CountIn(DAY + timedelta(days=days), [CountedIn(cans[1], CountLine.How.SEALED)]),
            shop.establishment,
            at=NOON,
            by=shop.lee,
        )
    page = text(lee.get("/counts/"))

    assert page.index("Apr 5 2024") < page.index("Apr 2 2024")
    assert lee.get(reverse("counts:page", args=[999999])).status_code == 404
