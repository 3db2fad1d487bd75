"""From printed labels to what they say."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.conf import settings
from django.urls import reverse

from compliance.core.door_sheet import DoorSheet, OnHand
from compliance.core.labels import LabelFacts
from compliance.queries.facts import local
from inventory.core.refrigerants import FLAMMABLE, UNKNOWN
from inventory.models import Container, Label, LabelSheet
from inventory.queries import Shelf, cylinder_limit, shelves
from shop.core.mass import Unit
from shop.models import Establishment
from shop.queries import rules_on


def label_facts(sheet: LabelSheet) -> list[LabelFacts]:
    """What every label of a sheet says, in the order of their numbers."""
    kin = ("container__can__type", "container__cylinder", "container__mixed", "container__establishment")
    rows = sheet.labels.select_related(*kin).order_by("container__place_id")
    return [_facts(row) for row in rows]


def door_facts(establishment: Establishment, *, at: datetime) -> DoorSheet:
    """What the sheet on the cabinet's door says at an instant."""
    here = local(establishment, at)
    return DoorSheet(
        shop=(establishment.name, establishment.phone),
        day=here.date().isoformat(),
        made_at=here.isoformat(timespec="minutes"),
        url=f"{settings.SITE_URL}{reverse('cabinet')}",
        on_hand=tuple(_on_hand(shelf) for shelf in shelves(establishment)),
        practice=settings.PRACTICE,
    )


def _on_hand(shelf: Shelf) -> OnHand:
    return OnHand(
        refrigerant=shelf.refrigerant,
        flammable=shelf.refrigerant in FLAMMABLE,
        sealed=shelf.sealed,
        open_cans=tuple(can.code for can in shelf.opened),
        in_cans_ug=shelf.in_cans.ug,
        doubt_g=shelf.doubt_g,
        cylinders=tuple((one.code, one.book.ug) for one in shelf.cylinders),
    )


def sheets_of(establishment: Establishment, *, newest: int = 20) -> Sequence[LabelSheet]:
    """The last sheets that were printed."""
    rows = LabelSheet.objects.filter(establishment=establishment).select_related("by")
    return list(rows.prefetch_related("labels")[:newest])


def _facts(row: Label) -> LabelFacts:
    one = row.container
    url = f"{settings.SITE_URL}{reverse('containers:page', args=[one.code])}"
    return _can(one, url, again=row.again) if one.kind == "can" else _cylinder(one, url, again=row.again)


def _can(one: Container, url: str, *, again: bool) -> LabelFacts:
    kind = one.can.type
    came = f"{one.came_on:%b} {one.came_on.day} {one.came_on:%y}"
    weight = f"{kind.net.rounded(Unit.G, 0)} g / {kind.net.rounded(Unit.OZ, 1)} oz"
    return LabelFacts(
        code=one.code,
        refrigerant=one.refrigerant_id,
        flammable=one.refrigerant_id in FLAMMABLE,
        lines=(weight, f"{came}, lot {one.lot}" if one.lot else came),
        url=url,
        again=again,
    )


def _cylinder(one: Container, url: str, *, again: bool) -> LabelFacts:
    shop, stamps = one.establishment, one.cylinder
    mixed = one.refrigerant_id == UNKNOWN or hasattr(one, "mixed")
    limit = stamps.tare + cylinder_limit(one, rules_on(shop, one.came_on))
    holds = "MIXED OR UNKNOWN" if mixed else one.refrigerant_id
    return LabelFacts(
        code=one.code,
        refrigerant=holds,
        flammable=one.refrigerant_id in FLAMMABLE or mixed,
        lines=(
            "Keep apart: ship it, never charge it." if mixed else f"Do not mix. {holds} only.",
            f"Gross at most {limit.rounded(Unit.G, 0):,} g ({limit.rounded(Unit.LB, 1)} lb)",
            f"Tare {stamps.tare_text} {stamps.tare_unit}, started {one.came_on:%b} {one.came_on.day} {one.came_on:%Y}",
            f"Requalified {stamps.requalified_on:%b %Y}, serial {stamps.serial or 'not recorded'}",
        ),
        url=url,
        again=again,
        head="RECOVERED",
        foot=(shop.name, shop.phone, "Follow the label and your local code."),
    )
