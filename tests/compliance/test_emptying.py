"""A refused can, or a found one that the owner did not accept, is emptied into a cylinder for unknown refrigerant."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client

from compliance.queries.whole_book import whole_book_findings
from compliance.services import EmptyingIn, draft_usage_report, empty_unusable
from inventory.models import Container, Damage, Movement
from inventory.services import (
    CylinderIn,
    DamageIn,
    DisposalIn,
    FoundIn,
    LineIn,
    accept_found,
    add_cylinder,
    dispose_of,
    find_can,
    note_damage,
    put_on_hold,
)
from shop.core.findings import Refused
from shop.core.mass import Unit, grams
from shop.core.period import Period
from tests.factories import DAY, NOON, SET_UP, SET_UP_AT, Shop, reading, receive, ticket_in
from tests.pages import errors, send, text

LATER = NOON + timedelta(hours=2)


def cylinder(
    shop: Shop, code: str, refrigerant: str = "unknown", stamped: date = date(2022, 11, 1)
) -> Container:
    made = CylinderIn(
        code,
        refrigerant,
        tare=reading("17.1", Unit.LB),
        water=reading("26.2", Unit.LB),
        gross=reading("17.1", Unit.LB),
        requalified_on=stamped,
    )
    return add_cylinder(made, shop.establishment, on=SET_UP, at=SET_UP_AT, by=shop.lee)


@pytest.fixture
def rc09(shop: Shop) -> Container:
    """A cylinder kept for what nobody can name."""
    return cylinder(shop, "RC-09")


@pytest.fixture
def found(shop: Shop) -> Container:
    """A can from a drawer, 286 g on the scale with a shell of 126 g: 160 g by its label."""
    turned_up = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    return find_can(turned_up, shop.establishment, on=DAY, at=NOON, by=shop.lee).container


@pytest.fixture
def refused(shop: Shop) -> Container:
    """One of four cans that came with a crushed seam."""
    delivery = receive(shop, LineIn(shop.can12, 4, 3, damaged=1))
    return Container.objects.get(delivered__line__delivery=delivery, delivered__sound=False)


def empty(shop: Shop, can: Container, into: Container, before: str = "286", after: str = "127") -> None:
    weights = EmptyingIn(into, ticket_in(shop, before), ticket_in(shop, after))
    empty_unusable(can, weights, on=DAY, at=LATER, by=shop.dev)


def moved(purpose: str, **where: object) -> list[tuple[str, str, str, int]]:
    rows = Movement.objects.filter(purpose=purpose, **where).order_by("pk")
    return [(row.source_id, row.target_id, row.refrigerant_id, row.mass.ug // 1_000_000) for row in rows]


def test_what_a_found_can_brought_goes_back_and_what_came_out_is_unknown(
    shop: Shop, found: Container, rc09: Container
) -> None:
    empty(shop, found, rc09)

    assert moved("counted") == [
        ("unexplained", found.code, "R-134a", 160),
        (found.code, "unexplained", "R-134a", 160),
    ]
    assert moved("heel") == [("unexplained", "RC-09", "unknown", 159)]
    assert Movement.objects.balances([found.code, "RC-09"]) == {found.code: grams(0), "RC-09": grams(159)}
    can = Container.objects.get(pk=found.pk)
    assert can.fate.why == "origin unknown, into RC-09"
    dispose_of([can], DisposalIn("scrap metal"), on=DAY, at=LATER, by=shop.dev)
    assert whole_book_findings() == []


def test_a_refused_can_stays_refused_and_only_the_cylinder_gets_heavier(
    shop: Shop, refused: Container, rc09: Container
) -> None:
    empty(shop, refused, rc09, before="420", after="126")

    assert moved("heel") == [("supplier", "RC-09", "unknown", 294)]
    assert Movement.objects.balances([refused.code])[refused.code] == grams(0)
    assert Container.objects.get(pk=refused.pk).fate.what == "refused"
    facts = draft_usage_report(
        shop.establishment, Period.month(DAY), today=date(2024, 5, 6), at=LATER, by=shop.marta
    )
    assert [(one.refrigerant, one.heels_ug) for one in facts.recovered] == [
        ("R-134a", 0),
        ("unknown", 294_000_000),
    ]
    assert facts.new[0].received_ug == 3 * 340_000_000
    assert whole_book_findings() == []
    with pytest.raises(Refused, match="did not get lighter"):
        empty(shop, refused, rc09, before="126", after="126")


def test_what_a_damaged_can_lost_before_is_not_made_up_afterwards(
    shop: Shop, refused: Container, rc09: Container
) -> None:
    """Emptied here it weighs its shell; that is no leak of the supplier's."""
    empty(shop, refused, rc09, before="420", after="126")
    weighed = DamageIn("crushed seam", "outside, upright", ticket_in(shop, "126"))
    with pytest.raises(Refused, match="what it lost before can no longer be told"):
        note_damage(refused, weighed, today=DAY, at=LATER, by=shop.lee)
    assert not Damage.objects.exists()


def test_nothing_unknown_goes_into_a_cylinder_kept_for_anything_else(
    shop: Shop, found: Container, refused: Container
) -> None:
    for can, before in ((found, "286"), (refused, "420")):
        with pytest.raises(Refused, match="kept for unknown refrigerant, never into RC-02"):
            empty(shop, can, shop.rc02, before=before)
    assert not Movement.objects.filter(purpose="heel").exists()


def test_the_gates_of_a_cylinder_stand_here_too(shop: Shop, found: Container) -> None:
    past = cylinder(shop, "RC-10", stamped=date(2018, 1, 1))
    with pytest.raises(Refused, match="RC-10 was to be requalified"):
        empty(shop, found, past)
    held = cylinder(shop, "RC-11")
    put_on_hold(held, why="valve drips", at=NOON, by=shop.dev)
    with pytest.raises(Refused, match="RC-11 is on hold"):
        empty(shop, found, held)


def test_who_holds_no_card_empties_nothing(shop: Shop, found: Container, rc09: Container) -> None:
    weights = EmptyingIn(rc09, ticket_in(shop, "286"), ticket_in(shop, "127"))
    with pytest.raises(Refused, match="No 609 card of Marta Quill is on file"):
        empty_unusable(found, weights, on=DAY, at=LATER, by=shop.marta)


def test_a_can_that_may_be_used_is_not_called_unknown(shop: Shop, found: Container, rc09: Container) -> None:
    accept_found(found.found, why="our own kind", at=NOON, by=shop.marta)
    with pytest.raises(Refused, match="neither refused nor of unknown origin"):
        empty(shop, found, rc09)


def test_a_can_on_hold_is_left_alone(shop: Shop, found: Container, rc09: Container) -> None:
    put_on_hold(found, why="the insurer wants to see it", at=NOON, by=shop.lee)
    with pytest.raises(Refused, match=r"is on hold since Apr 2 2024 \(the insurer wants to see it\)"):
        empty(shop, found, rc09)


def test_the_page_leads_there_offers_only_such_cylinders_and_says_what_is_wrong(
    shop: Shop, found: Container, refused: Container, dev: Client, lee: Client
) -> None:
    page = f"/containers/{found.code}/heel/"
    assert "The shop has no cylinder for unknown refrigerant." in text(dev.get(page))
    cylinder(shop, "RC-09")
    for can in (found, refused):
        assert f'href="/containers/{can.code}/heel/"' in dev.get(f"/containers/{can.code}/").content.decode()
        assert (
            f'href="/containers/{can.code}/heel/"'
            in dev.get(f"/containers/{can.code}/ended/").content.decode()
        )
        assert "/heel/" not in lee.get(f"/containers/{can.code}/").content.decode()
    assert "Unknown gas: its own equipment, its own cylinder. It may burn." in text(dev.get(page))
    form = dev.get(page).context["form"]
    assert [one.code for one in form.fields["cylinder"].queryset] == ["RC-09"]
    typed: dict[str, Any] = {"cylinder": "RC-09", "scale": shop.scale.pk, "style": "bare can"}

    assert errors(send(dev, page, before="286", after="288", **typed), "after")
    assert send(dev, page, before="286", after="127", **typed).status_code == 302
    assert moved("heel") == [("unexplained", "RC-09", "unknown", 159)]
