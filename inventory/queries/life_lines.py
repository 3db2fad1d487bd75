"""What was written about one container beside its weights and its book: (when, what, by whom, address, its name)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.urls import reverse

from inventory.models import Container
from shop.core.phrase import phrase, word

Line = tuple[datetime, str, str, str, str]


def lines_of(container: Container) -> Iterator[Line]:
    yield from _came(container)
    yield from _stood(container)
    yield from _said(container)
    yield from _ended(container)


def _came(container: Container) -> Iterator[Line]:
    if hasattr(container, "delivered"):
        delivery = container.delivered.line.delivery
        what = phrase(
            "Came from {supplier}, slip {slip}", supplier=delivery.supplier.name, slip=delivery.slip
        )
        href = reverse("deliveries:page", args=[delivery.number])
        yield container.at, what, container.by.first_name, href, delivery.number
    elif hasattr(container, "found"):
        what = phrase(
            "Found: {where}. Printed on it: {printed}",
            where=container.found.where,
            printed=container.found.printed,
        )
        yield container.found.at, what, container.found.by.first_name, "", ""
    else:
        yield container.at, phrase("Taken into the cabinet"), container.by.first_name, "", ""
    for note in container.lots.select_related("by"):
        what = phrase("Is of lot {lot}", lot=note.lot)
        yield note.at, what, note.by.first_name, f"{reverse('recall')}?lot={note.lot}", phrase("Recall")
    for label in container.labels.select_related("sheet__by"):
        what = phrase("Label printed again") if label.again else phrase("Label printed")
        href = reverse("labels:page", args=[label.sheet_id])
        yield label.sheet.at, what, label.sheet.by.first_name, href, phrase("The labels")


def _stood(container: Container) -> Iterator[Line]:
    for move in container.moves.select_related("to", "by", "arrived__by"):
        yield move.at, phrase("Given off for {spot}", spot=move.to.name), move.by.first_name, "", ""
        if hasattr(move, "arrived"):
            what = phrase("Arrived: {spot}", spot=move.to.name)
            yield move.arrived.at, what, move.arrived.by.first_name, "", ""


def _said(container: Container) -> Iterator[Line]:
    for hold in container.holds.select_related("by", "end__by"):
        yield hold.at, phrase("On hold: {why}", why=hold.why), hold.by.first_name, "", ""
        if hasattr(hold, "end"):
            yield hold.end.at, phrase("Off hold: {why}", why=hold.end.why), hold.end.by.first_name, "", ""
    for kept in container.kept.select_related("by"):
        yield kept.at, phrase("Kept for the next job"), kept.by.first_name, "", ""
    if hasattr(container, "found") and hasattr(container.found, "accepted"):
        accepted = container.found.accepted
        yield accepted.at, phrase("Accepted: {why}", why=accepted.why), accepted.by.first_name, "", ""
    if hasattr(container, "mixed"):
        yield (
            container.mixed.at,
            phrase("Mixed: {why}", why=container.mixed.why),
            container.mixed.by.first_name,
            "",
            "",
        )
    for check in container.air_checks.select_related("by"):
        what = phrase(
            "Checked for air: {pressure} at {warm}", pressure=check.pressure, warm=check.temperature
        )
        yield (
            check.at,
            what,
            check.by.first_name,
            "#air",
            phrase("The check"),
        )
    for damage in container.damages.select_related("by"):
        what = phrase("Damaged: {what}; stands {where}", what=damage.what, where=damage.where)
        yield damage.at, what, damage.by.first_name, "", ""


def _ended(container: Container) -> Iterator[Line]:
    if hasattr(container, "fate"):
        fate = container.fate
        name = word(fate.get_what_display())
        what = phrase("{fate}: {why}", fate=name, why=fate.why) if fate.why else name
        yield fate.at, what, fate.by.first_name, "", ""
    if hasattr(container, "given_back"):
        slip = container.given_back.slip
        what = phrase("On return slip {slip}", slip=slip.number)
        yield slip.at, what, slip.by.first_name, reverse("return-slip", args=[slip.number]), slip.number
    if hasattr(container, "disposal"):
        gone = container.disposal
        what = phrase(
            "Marked empty, disposed of: {how}. {note}", how=word(gone.get_how_display()), note=gone.note
        )
        yield gone.at, what, gone.by.first_name, "", ""
