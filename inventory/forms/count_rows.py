"""The rows of a count: sealed cans by spot, kind and lot; what waits for an open job; and a paused count taken up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from inventory.core.counting import Waiting
from inventory.forms.rows import BOX
from inventory.models import Container, CountDraft
from inventory.queries import Shelf
from shop.core.phrase import phrase

LAST_TICKET, WAIT = "last ticket", "wait"
PLAIN = ("scale", "cylinder_scale", "rest")


@dataclass(frozen=True, slots=True)
class Lot:
    """Sealed cans of one kind and lot in one spot, with the name of their two fields."""

    name: str
    cans: tuple[Container, ...]
    spot: str = ""

    @property
    def title(self) -> str:
        first = self.cans[0]
        return f"{first.can.type}" + (f", lot {first.lot_now}" if first.lot_now else ", no lot")


def lots_on(shelves: Iterable[Shelf], spots: Mapping[str, str]) -> list[Lot]:
    """Sealed cans by where they stand, kind and lot."""
    by_lot: dict[tuple[str, int, str], list[Container]] = {}
    for shelf in shelves:
        for can in shelf.cans:
            if can.last_text is None and can.waits_for is None:
                key = (spots.get(can.pk, ""), can.can.type_id, can.lot_now)
                by_lot.setdefault(key, []).append(can)
    ordered = sorted(by_lot.items(), key=lambda one: one[0][0])
    return [Lot(f"lot_{number}", tuple(cans), key[0]) for number, (key, cans) in enumerate(ordered)]


@dataclass(frozen=True, slots=True)
class Moving:
    """A container that waits for an open job: with its question, or left out and why."""

    container: Container
    waiting: Waiting | None
    question: str = ""

    @property
    def why_out(self) -> str:
        """Why it is left out when nobody asks."""
        job = self.waiting.job if self.waiting is not None else self.container.waits_for
        if self.waiting is not None and self.waiting.why_not:
            return phrase("waits for {job} to close: {why}", job=job, why=self.waiting.why_not)
        return phrase("waits for {job} to close", job=job)


def ticks(label: str, choices: list[tuple[str, str]]) -> forms.MultipleChoiceField:
    """Boxes to tick, none of which says of itself that it may be left empty."""
    field = forms.MultipleChoiceField(
        label=label, choices=choices, widget=forms.CheckboxSelectMultiple, required=False
    )
    field.template_name = BOX  # type: ignore[attr-defined]
    return field


def containers_on(shelves: Iterable[Shelf]) -> dict[str, Container]:
    """Everything that a count of these shelves is about, by its code."""
    return {one.code: one for shelf in shelves for one in (*shelf.cans, *shelf.missing, *shelf.cylinders)}


def stands(container: Container) -> str:
    """How a container stands as far as a count goes; another text means that something happened to it."""
    said = (container.book.ug, container.last_text, container.last_unit, container.waits_for)
    return " ".join(str(one) for one in said)


def typed_of(form: Any) -> dict[str, Any]:
    """What was ticked and typed on a count's page, as it can be kept: by container, not by the page's own names."""
    said = getattr(form, "cleaned_data", {})
    here = [
        can.code
        for lot in form.lots
        for can in lot.cans
        if said.get(f"all_{lot.name}") or can.code in said.get(lot.name, ())
    ]
    weighed = [*form.open, *form.missing_open, *form.cylinders]
    weights = {one.code: str(form.data.get(one.code, "")).replace("\0", "").strip()[:40] for one in weighed}
    moving = {one.container.code: said.get(one.question) for one in form.moving if one.question}
    plain = {name: str(form.data.get(name, ""))[:20].replace("\0", "") for name in PLAIN}
    return {
        "here": sorted(here),
        "again": sorted(said.get("found_again", ())),
        "weights": {code: text for code, text in weights.items() if text},
        "lines": {code: form[code].field.widget.line for code, text in weights.items() if text},
        "moving": {code: choice for code, choice in moving.items() if choice},
        "plain": {name: text for name, text in plain.items() if text},
    }


def answered_in(typed: Mapping[str, Any]) -> list[str]:
    """The containers that have an answer in what was kept."""
    return sorted({*typed["here"], *typed["again"], *typed["weights"], *typed["moving"]})


def initial_of(typed: Mapping[str, Any], shelves: list[Shelf], spots: Mapping[str, str]) -> dict[str, Any]:
    """What a page begins with that goes on from ``typed``."""
    begin: dict[str, Any] = {
        **typed["plain"],
        **typed["weights"],
        **{f"{code}_line": line for code, line in typed.get("lines", {}).items()},
        **{f"moving_{code}": choice for code, choice in typed["moving"].items()},
        "found_again": typed["again"],
    }
    for lot in lots_on(shelves, spots):
        ticked = [can.code for can in lot.cans if can.code in typed["here"]]
        begin[f"all_{lot.name}"] = len(ticked) == len(lot.cans)
        begin[lot.name] = ticked
    return begin


@dataclass(frozen=True, slots=True)
class TakenUp:
    """A paused count as it can go on: what of it still holds, what has to be answered again, what is gone."""

    typed: dict[str, Any]
    changed: tuple[str, ...]
    gone: tuple[str, ...]


def taken_up(draft: CountDraft, shelves: Iterable[Shelf]) -> TakenUp:
    """Go on with a paused count: an answer holds as long as nothing happened to its container since."""
    now = containers_on(shelves)
    answered = answered_in(draft.typed)
    gone = [code for code in answered if code not in now]
    changed = [code for code in answered if code in now and stands(now[code]) != draft.stood.get(code)]
    lost = {*gone, *changed}
    typed = {
        "here": [code for code in draft.typed["here"] if code not in lost],
        "again": [code for code in draft.typed["again"] if code not in lost],
        "weights": {code: text for code, text in draft.typed["weights"].items() if code not in lost},
        "lines": draft.typed.get("lines", {}),
        "moving": {code: said for code, said in draft.typed["moving"].items() if code not in lost},
        "plain": draft.typed["plain"],
    }
    return TakenUp(typed, tuple(changed), tuple(gone))
