"""The count of the cabinet, blind: what the book expects of an open container is not shown until it is signed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone

from inventory.core.counting import Waiting
from inventory.forms.count_rows import LAST_TICKET, WAIT, Lot, Moving, lots_on, ticks
from inventory.forms.rows import BOX
from inventory.models import Container, CountLine
from inventory.queries import Shelf
from inventory.services import CountedIn, TicketIn
from shop.core.mass import ZERO, Mass, Reading, total
from shop.core.phrase import phrase
from shop.forms import ReadingField, ScaleChoice, reading_on
from shop.models import Equipment

LEAVE_OUT, NOT_FOUND = "leave out", "not found"


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

    def __init__(
        self,
        data: Any = None,
        *,
        shelves: list[Shelf],
        scales: Any,
        waiting: Mapping[str, Waiting],
        spots: Mapping[str, str],
        **rest: Any,
    ) -> None:
        super().__init__(data, **rest)
        self.spots = spots
        self.lots = lots_on(shelves, spots)
        here = [one for shelf in shelves for one in (*shelf.cans, *shelf.cylinders)]
        missing = [can for shelf in shelves for can in shelf.missing]
        self.moving = [self._moving(one, waiting) for one in (*here, *missing) if one.waits_for is not None]
        self.moving.sort(key=lambda one: one.waiting is None or not one.waiting.on_car)
        free = [one for one in here if one.waits_for is None]
        self.open = [one for one in free if one.kind == "can" and one.last_text is not None]
        self.cylinders = [one for one in free if one.kind == "cylinder"]
        missing = [can for can in missing if can.waits_for is None]
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
            self.fields["found_again"] = ticks(
                "Not found at an earlier count; here again, sealed",
                [(can.code, f"{can.code} {can.can.type}") for can in self.missing],
            )

    def _moving(self, one: Container, waiting: Mapping[str, Waiting]) -> Moving:
        """Asked first, so that no count overlaps a container that moves without saying so."""
        known = waiting.get(one.code)
        if known is None or known.why_not:
            return Moving(one, known)
        name = f"moving_{one.code}"
        where = "on a car with" if known.on_car else "weighed by"
        self.fields[name] = forms.ChoiceField(  # type: ignore[call-arg]
            label=f"{one.code}, {where} {known.job}",
            choices=[
                (
                    LAST_TICKET,
                    f"Count it at its last ticket: {known.reading}, {_when(known.at)}",
                ),
                (WAIT, "Wait: leave it out of this count"),
            ],
            widget=forms.RadioSelect,
            required=False,
            template_name=BOX,
        )
        return Moving(one, known, name)

    def _add_lot(self, lot: Lot) -> None:
        all_here = f"All {len(lot.cans)} are here" if len(lot.cans) > 1 else "It is here"
        self.fields[f"all_{lot.name}"] = forms.BooleanField(label=all_here, required=False)
        if len(lot.cans) > 1:
            self.fields[lot.name] = ticks(lot.title, [(can.code, can.code) for can in lot.cans])

    def clean(self) -> dict[str, Any]:
        self.counted = [*self._ticked(), *self._weighed([*self.open, *self.missing_open], "scale")]
        self.counted += self._weighed(self.cylinders, "cylinder_scale")
        chosen = {one.container.pk: self.cleaned_data.get(one.question) for one in self.moving}
        at_last = [one.container for one in self.moving if chosen[one.container.pk] == LAST_TICKET]
        self.counted += [CountedIn(one, CountLine.How.LAST_TICKET) for one in at_last]
        self.undecided = [one for one in self.moving if one.question and not chosen[one.container.pk]]
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

    def open_rows(self) -> list[tuple[str, Container, forms.BoundField]]:
        return self._rows(self.open)

    def missing_rows(self) -> list[tuple[str, Container, forms.BoundField]]:
        """Open cans that an earlier count did not find; they need no answer."""
        return self._rows(self.missing_open)

    def cylinder_rows(self) -> list[tuple[str, Container, forms.BoundField]]:
        return self._rows(self.cylinders)

    def _rows(self, containers: list[Container]) -> list[tuple[str, Container, forms.BoundField]]:
        """With the name of the spot, those of one spot together."""
        rows = [(self.spots.get(one.pk, ""), one, self[one.code]) for one in containers]
        return sorted(rows, key=lambda row: row[0])

    def moving_rows(self) -> list[tuple[Moving, forms.BoundField | None]]:
        return [(one, self[one.question] if one.question else None) for one in self.moving]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing at all to count."""
        return not (
            self.lots or self.open or self.cylinders or self.missing or self.missing_open or self.moving
        )

    @property
    def asked(self) -> int:
        """How many containers this count asks for; an earlier count's missing ones need no answer."""
        return len(self._everything()) + sum(1 for one in self.moving if one.question)

    @property
    def found(self) -> int:
        missing = {one.pk for one in (*self.missing, *self.missing_open)}
        return sum(1 for one in self.counted if one.container.pk not in missing)

    @property
    def sealed_asked(self) -> int:
        return sum(len(lot.cans) for lot in self.lots)

    @property
    def so_far(self) -> Mass:
        """What was counted so far: sealed cans by label, readings less the shell or the stamped tare."""
        return self.sealed_mass + total(
            max(one.ticket.reading.mass - one.container.empty, ZERO)
            for one in self.counted
            if one.ticket is not None
        )

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
        for one in self.undecided:
            self.add_error(one.question, "Say whether it waits, or is counted at its last ticket.")
        if self.undecided:
            return False
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

    def left_out(self) -> tuple[tuple[Container, str], ...]:
        """What is not asked for, and why: it waits for a job, or nobody had an answer."""
        counted = {one.container.pk for one in self.counted}
        waits = [(one.container, one.why_out) for one in self.moving if one.container.pk not in counted]
        if self.cleaned_data.get("rest") == NOT_FOUND:
            return tuple(waits)
        why = phrase("no tick and no weight")
        return (*waits, *((one, why) for one in self.unanswered))


def _when(instant: datetime) -> str:
    local = timezone.localtime(instant)
    return f"{local:%b} {local.day}, {local:%H:%M}"
