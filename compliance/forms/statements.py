"""Equipment statements: what is stated, how it was sent, what is remembered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as said_now
from django.utils.translation import gettext_lazy as _

from compliance.core.regions import regions
from compliance.core.statement import PLATE, STATEMENTS, MachineStated
from compliance.models import Document, StatementSent
from compliance.services.statements import EarlierIn, SentIn, StatementIn
from shop.forms import DayField, FileChoice, line
from shop.http import say
from shop.models import Equipment
from shop.services import FileIn

REASONS = (
    ("first statement", _("First statement of this shop")),
    ("new machine", _("New machine")),
    ("moved", _("The shop moved")),
    ("new owner", _("New owner")),
    ("people or plate put right", _("Something on it changed")),
)


class StatementForm(forms.Form):
    """The fields of 40 CFR 82.42(a)(1) in their order. What a plate on file leaves out is asked for here."""

    purchaser = line(160, label=_("Name of the purchaser of the equipment"))
    location = line(200, label=_("Address of the establishment where it is"))
    machines = forms.MultipleChoiceField(
        label=_("Machines it lists"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one machine.")},
    )

    def __init__(
        self, *args: Any, machines: Sequence[Equipment], standing: Iterable[Document], **rest: Any
    ) -> None:
        super().__init__(*args, **rest)
        self.plates = {one.code: one for one in machines}
        self.standing = {str(one.pk): one for one in standing}
        self.fields["machines"].choices = [(one.code, _named(one)) for one in machines]  # type: ignore[attr-defined]
        for one in machines:
            for field, what in PLATE:
                if not getattr(one, field).strip():
                    label = said_now("%(code)s: %(what)s, as on its plate") % {
                        "code": one.code,
                        "what": say(what),
                    }
                    self.fields[f"{field}_{one.code}"] = line(80, label=label, required=False)
        for key, sentence in STATEMENTS:
            self.fields[key] = forms.BooleanField(label=say(sentence), required=False)
        self.fields["title"] = line(60, label=_("Your title, as it is printed under the signature"))
        self.fields["reason"] = forms.ChoiceField(label=_("Why now"), choices=REASONS)
        if self.standing:
            choices = [("", said_now("None, it stands beside them"))]
            choices += [(key, str(one)) for key, one in self.standing.items()]
            self.fields["replaces"] = forms.ChoiceField(
                label=_("It takes the place of"), choices=choices, required=False
            )

    def statement(self) -> StatementIn:
        said = self.cleaned_data
        return StatementIn(
            said["purchaser"],
            said["location"],
            tuple(self._stated(code) for code in said["machines"]),
            tuple(key for key, _sentence in STATEMENTS if said[key]),
            said["title"],
            said["reason"],
            self.standing.get(said.get("replaces", "")),
        )

    def _stated(self, code: str) -> MachineStated:
        plate = self.plates[code]
        values = {
            field: getattr(plate, field).strip() or str(self.cleaned_data.get(f"{field}_{code}", "")).strip()
            for field, _what in PLATE
        }
        return MachineStated(code, **values)


def _named(machine: Equipment) -> str:
    return " ".join(part for part in (machine.code, machine.maker, machine.model, machine.serial) if part)


def _regions() -> list[tuple[str, str]]:
    return [
        ("", said_now("Choose")),
        *((str(one), f"{one}: {' '.join(of)}") for one, of in regions().items()),
    ]


class RegionChoice(forms.ChoiceField):
    def __init__(self) -> None:
        help_text = _("By the list of States in the rule. The Northern Marianas are not listed there.")
        super().__init__(label=_("Region"), choices=_regions, help_text=help_text)


class SentForm(forms.Form):
    on = DayField(label=_("Sent on"))
    how = forms.ChoiceField(
        label=_("How"),
        choices=[(value, _(word)) for value, word in StatementSent.How.choices],
        widget=forms.RadioSelect,
    )
    tracking = line(60, label=_("Tracking number"), required=False)
    region = RegionChoice()
    address = line(300, label=_("Address it was sent to"), help_text=_("Check it before mailing."))
    address_confirmed_on = DayField(label=_("Address read on the agency’s own site on"))

    def sent(self) -> SentIn:
        return SentIn(**(self.cleaned_data | {"region": int(self.cleaned_data["region"])}))


class ProofForm(forms.Form):
    paper = FileChoice(label=_("PDF or photo of the proof"))

    def file(self) -> FileIn:
        paper: FileIn = self.cleaned_data["paper"]
        return paper


class EarlierForm(forms.Form):
    when = line(60, label=_("When, as far as you know"), help_text=_("For example: spring of 2011."))
    where = line(200, label=_("Where to, as far as you know"), required=False)
    note = line(200, label=_("What became of the copy"), required=False)

    def earlier(self) -> EarlierIn:
        return EarlierIn(**self.cleaned_data)


class AddressForm(forms.Form):
    region = RegionChoice()
    address = line(300, label=_("Address, as the agency’s own site says it"))
    confirmed_on = DayField(label=_("Read there on"))

    def confirmed(self) -> dict[str, Any]:
        return self.cleaned_data | {"region": int(self.cleaned_data["region"])}
