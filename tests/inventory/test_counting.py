"""What a count writes, and what it refuses."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.models import Container, Count, CountLine, Entry, WeighTicket
from inventory.queries import count_sums, counts, earlier_differences
from inventory.services import (
    CountedIn,
    CountIn,
    OpeningIn,
    TicketIn,
    open_cabinet,
    record_count,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, Unit, grams
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment
from tests.factories import (
    DAY,
    NOON,
    Shop,
    reading,
    ticket_in,
)


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
    for hours, grams_shown in enumerate((299, 298, 297, 296, 295, 294, 293, 292)):
        ticket = ticket_in(shop, str(grams_shown))
        counted = CountIn(DAY, [CountedIn(cans[0], CountLine.How.WEIGHED, ticket)])
        at = NOON + timedelta(hours=hours)
        last = record_count(counted, shop.establishment, at=at, by=shop.lee)

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
