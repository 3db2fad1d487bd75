"""Forms of a correction slip: which things are wrong, and how each should read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from compliance.queries.corrections import UNITS
from compliance.queries.spots import Spot
from compliance.services import Change
from shop.core.canonical import canonical, sha256
from shop.core.mass import Reading, Unit
from shop.core.phrase import Phrase, joined, word
from shop.forms.fields import MassField
from shop.http import say


class CorrectionForm(forms.Form):
    """One field for each thing that is wrong, with what it reads now beside it, and why."""

    why = forms.CharField(
        label=gettext_lazy("What happened"),
        max_length=200,
        help_text=gettext_lazy("For example: misread the display. It is printed on the new version."),
    )

    def __init__(self, data: Mapping[str, Any] | None, spots: Sequence[Spot]) -> None:
        super().__init__(data)
        self.spots = spots
        for spot in spots:
            field = _field(spot)
            field.label = say(spot.words)
            field.help_text = _("It reads: %(old)s") % {"old": _said(spot.shown) or _("nothing")}
            self.fields[spot.key] = field
        self.order_fields([spot.key for spot in spots])

    def olds(self) -> list[tuple[str, str]]:
        """How each thing read when the page was made, to go back with the form."""
        if not self.is_bound:
            return [(f"old-{spot.key}", spot.shown) for spot in self.spots]
        return [(f"old-{spot.key}", self._old(spot)) for spot in self.spots]

    def _old(self, spot: Spot) -> str:
        return str(self.data.get(f"old-{spot.key}", "")).replace("\0", "")[:400]

    def changes(self) -> list[Change]:
        return [self._change(spot) for spot in self.spots]

    def _change(self, spot: Spot) -> Change:
        typed = self.cleaned_data[spot.key]
        if spot.kind in ("mass", "exact"):
            text, unit = (typed.text, typed.unit.value) if isinstance(typed, Reading) else ("", Unit.G.value)
            return Change(spot.key, self._old(spot), text, unit)
        return Change(spot.key, self._old(spot), str(typed))

    def reason(self) -> str:
        return str(self.cleaned_data["why"])

    def as_seen(self) -> str:
        """A short sign of what was typed: what is signed is what was shown."""
        seen = [[one.key, one.old, one.text, one.unit] for one in self.changes()]
        return sha256(canonical([seen, self.reason()]))[:16]


def _said(text: str) -> str:
    return say(text if isinstance(text, Phrase) else word(text))


def _field(spot: Spot) -> forms.Field:
    needed = spot.never_empty
    if spot.kind in ("mass", "exact"):
        begin = _reading(spot)
        own = [begin.unit] if begin is not None else []
        units = tuple(dict.fromkeys([*own, *UNITS]))
        division = spot.ticket.division if spot.ticket is not None else None
        return MassField(units=units, division=division, required=needed, initial=begin)
    if spot.answers:
        choices = [(str(one), _said(one)) for one in spot.answers]
        return forms.ChoiceField(choices=choices, widget=forms.RadioSelect, initial=spot.text)
    return forms.CharField(max_length=spot.most, required=needed, initial=spot.text)


def _reading(spot: Spot) -> Reading | None:
    return spot.read(spot.text, spot.unit or Unit.G) if spot.text else None


def grouped(spots: Sequence[Spot]) -> list[tuple[str, list[Spot]]]:
    """Things by the stage they belong to, for the page on which they are chosen."""
    found: dict[str, list[Spot]] = {}
    for spot in spots:
        found.setdefault(joined("", [spot.group]), []).append(spot)
    return list(found.items())


class HoldForm(forms.Form):
    """Why a job is put on hold, or why its hold is over."""

    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        help_text=gettext_lazy("For example: the insurer writes that it was overcharged."),
    )

    def reason(self) -> str:
        return str(self.cleaned_data["why"])
