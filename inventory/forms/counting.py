"""The count of the cabinet, blind: what the book expects of an open container is not shown until it is signed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms

from inventory.forms.rows import BOX
from inventory.models import Container, CountLine
from inventory.queries import Shelf
from inventory.services import CountedIn, TicketIn
from shop.core.mass import Mass, Reading, total
from shop.forms import ReadingField, ScaleChoice, reading_on
from shop.models import Equipment

LEAVE_OUT, NOT_FOUND = "leave out", "not found"


@dataclass(frozen=True, slots=True)
class Lot:
    """Sealed cans of one kind and lot, with the name of their two fields."""

    name: str
    cans: tuple[Container, ...]

    @property
    def title(self) -> str:
        first = self.cans[0]
        return f"{first.can.type}" + (f", lot {first.lot_now}" if first.lot_now else ", no lot")


def lots_on(shelves: Iterable[Shelf]) -> list[Lot]:
    """Sealed cans by kind and lot."""
    by_lot: dict[tuple[int, str], list[Container]] = {}
    for shelf in shelves:
        for can in shelf.cans:
            if can.last_text is None:
                by_lot.setdefault((can.can.type_id, can.lot_now), []).append(can)
    return [Lot(f"lot_{number}", tuple(cans)) for number, cans in enumerate(by_lot.values())]


class CountForm(forms.Form):
    """Sealed cans are ticked, by lot or one by one; open cans and cylinders are weighed."""

    scale = ScaleChoice(label="Scale for the open cans", required=False, template_name=BOX)
    cylinder_scale = ScaleChoice(label="Scale for the cylinders", required=False, template_name=BOX)
    rest = forms.ChoiceField(  # type: ignore[call-arg] # the stubs do not know template_name yet
        label="What has no tick and no weight",
        choices=[(LEAVE_OUT, "Leave it out of this count"), (NOT_FOUND, "It was looked for and not found")],
        widget=forms.RadioSelect,
        required=False,
        template_name=BOX,
    )

    def __init__(self, data: Any = None, *, shelves: list[Shelf], scales: Any, **rest: Any) -> None:
        super().__init__(data, **rest)
        self.lots = lots_on(shelves)
        opened = [can for shelf in shelves for can in shelf.cans if can.last_text is not None]
        cylinders = [cylinder for shelf in shelves for cylinder in shelf.cylinders]
        self.open = [can for can in opened if can.waits_for is None]
        self.cylinders = [cylinder for cylinder in cylinders if cylinder.waits_for is None]
        self.waiting = [one for one in [*opened, *cylinders] if one.waits_for is not None]
        missing = [can for shelf in shelves for can in shelf.missing]
        self.missing = [can for can in missing if can.last_text is None]
        self.missing_open = [can for can in missing if can.last_text is not None]
        for name, wanted in (("scale", [*self.open, *self.missing_open]), ("cylinder_scale", self.cylinders)):
            self.fields[name].queryset = scales  # type: ignore[attr-defined]
            if not wanted:
                del self.fields[name]
        for lot in self.lots:
            self._add_lot(lot)
        for container in [*self.open, *self.missing_open, *self.cylinders]:
            label = f"{container.code}, {container.refrigerant_id}"
            self.fields[container.code] = ReadingField(label=label, required=False, template_name=BOX)
        if self.missing:
            found_again = forms.MultipleChoiceField(
                label="Not found at an earlier count; here again, sealed",
                choices=[(can.code, f"{can.code} {can.can.type}") for can in self.missing],
                widget=forms.CheckboxSelectMultiple,
                required=False,
            )
            found_again.template_name = BOX  # type: ignore[attr-defined]
            self.fields["found_again"] = found_again

    def _add_lot(self, lot: Lot) -> None:
        all_here = f"All {len(lot.cans)} are here" if len(lot.cans) > 1 else "It is here"
        self.fields[f"all_{lot.name}"] = forms.BooleanField(label=all_here, required=False)
        if len(lot.cans) > 1:
            one_by_one = forms.MultipleChoiceField(
                label=lot.title,
                choices=[(can.code, can.code) for can in lot.cans],
                widget=forms.CheckboxSelectMultiple,
                required=False,
            )
            one_by_one.template_name = BOX  # type: ignore[attr-defined]
            self.fields[lot.name] = one_by_one

    def clean(self) -> dict[str, Any]:
        self.counted = [*self._ticked(), *self._weighed([*self.open, *self.missing_open], "scale")]
        self.counted += self._weighed(self.cylinders, "cylinder_scale")
        answered = {one.container.pk for one in self.counted}
        self.unanswered = [
            one for one in self._everything() if one.pk not in answered and one.code not in self.errors
        ]
        return self.cleaned_data

    def _everything(self) -> list[Container]:
        everything = [*(can for lot in self.lots for can in lot.cans), *self.open, *self.cylinders]
        return sorted(everything, key=lambda one: one.code)

    def _ticked(self) -> list[CountedIn]:
        said = self.cleaned_data
        here = [
            can
            for lot in self.lots
            for can in lot.cans
            if said.get(f"all_{lot.name}") or can.code in said.get(lot.name, ())
        ]
        here += [can for can in self.missing if can.code in said.get("found_again", ())]
        return [CountedIn(can, CountLine.How.SEALED) for can in here]

    def _weighed(self, containers: list[Container], name: str) -> list[CountedIn]:
        scale: Equipment | None = self.cleaned_data.get(name)
        typed = [one for one in containers if self.cleaned_data.get(one.code)]
        if typed and scale is None:
            self.add_error(name, "Choose the scale that these were weighed on.")
        if scale is None:
            return []
        read = [(one, reading_on(scale, self, one.code)) for one in typed]
        return [
            CountedIn(one, CountLine.How.WEIGHED, TicketIn(scale, got))
            for one, got in read
            if got is not None
        ]

    def lot_rows(self) -> list[tuple[Lot, forms.BoundField, forms.BoundField | None]]:
        """For the template: a lot, its "all are here", and its cans one by one when there are several."""
        return [
            (lot, self[f"all_{lot.name}"], self[lot.name] if lot.name in self.fields else None)
            for lot in self.lots
        ]

    def open_rows(self) -> list[tuple[Container, forms.BoundField]]:
        return [(can, self[can.code]) for can in self.open]

    def missing_rows(self) -> list[tuple[Container, forms.BoundField]]:
        """Open cans that an earlier count did not find; they need no answer."""
        return [(can, self[can.code]) for can in self.missing_open]

    def cylinder_rows(self) -> list[tuple[Container, forms.BoundField]]:
        return [(cylinder, self[cylinder.code]) for cylinder in self.cylinders]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing at all to count."""
        return not (self.lots or self.open or self.cylinders or self.missing or self.missing_open)

    @property
    def sealed_cans(self) -> int:
        return sum(1 for one in self.counted if one.how == CountLine.How.SEALED)

    @property
    def sealed_mass(self) -> Mass:
        return total(one.container.can.type.net for one in self.counted if one.how == CountLine.How.SEALED)

    @property
    def readings(self) -> list[tuple[str, Reading]]:
        """The open ones with their readings, as typed; what the book expects of them stays hidden."""
        return [(one.container.code, one.ticket.reading) for one in self.counted if one.ticket is not None]

    def is_whole(self) -> bool:
        """Whether every container has its answer. If not, what that means has to be said first."""
        if not self.unanswered or self.cleaned_data.get("rest"):
            return True
        codes = ", ".join(one.code for one in self.unanswered[:8]) + (
            ", …" if len(self.unanswered) > 8 else ""
        )
        self.add_error("rest", f"No tick and no weight for {codes}. Say what that means.")
        return False

    def answers(self) -> tuple[CountedIn, ...]:
        missing = self.unanswered if self.cleaned_data.get("rest") == NOT_FOUND else []
        return (*self.counted, *(CountedIn(one, CountLine.How.MISSING) for one in missing))
