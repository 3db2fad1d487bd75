"""Which packs a shop works under, and what was found for the items of their lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from compliance.core.packs import Kind, Layer
from compliance.core.rules.packs import items_of
from compliance.queries.packs import local_packs, state_choices
from compliance.services import AnswerIn, PackChoiceIn
from shop.core.phrase import in_language, phrase
from shop.forms.fields import DayField, line

FOUND = (phrase("ok"), phrase("fault"), phrase("not accessible"), phrase("not applicable"))
TOLD = (phrase("told in person"), phrase("told by phone"), phrase("told in writing"), phrase("not told"))
LABELLED = (phrase("put on now"), phrase("was on the car"), phrase("not on the car"))
WORDS = {Kind.CHECKLIST: FOUND, Kind.DISCLOSURE: TOLD, Kind.LABEL: LABELLED}
WHYS = {
    Kind.CHECKLIST: _("Why, where something was not looked at"),
    Kind.DISCLOSURE: _("Who was told, and why not if nobody was"),
    Kind.LABEL: _("Why, where it is not on the car"),
}
ON_FILE = {"pack": "", "none found": " (looked for, none found)", "not looked for": " (nobody has looked)"}


class PackChoiceForm(forms.Form):
    """The state, the local packs, and from which day."""

    state = forms.ChoiceField(label="State the shop stands in")
    local = forms.MultipleChoiceField(
        label="Local packs",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Tick the air district or county that the shop stands in, if it is on the list.",
    )
    from_day = DayField(
        label="From", help_text="Today or a later day. Jobs before it keep the rules of their day."
    )

    def __init__(self, *args: object, today: date, **rest: object) -> None:
        super().__init__(*args, **rest)  # type: ignore[arg-type]
        states = [(code, f"{name}{ON_FILE[known]}") for code, name, known in state_choices()]
        self.fields["state"].choices = [("", "Pick a state"), *states]  # type: ignore[attr-defined]
        self.fields["local"].choices = [(one.id, one.title) for one in local_packs(today)]  # type: ignore[attr-defined]

    def choice(self) -> PackChoiceIn:
        said = self.cleaned_data
        return PackChoiceIn(said["state"], said["local"], said["from_day"])


class RulesDayForm(forms.Form):
    """The day of a job, to see what held on it."""

    day = DayField(label="Day of the job")


class AskedForm(forms.Form):
    """One list of a pack, the one sentence that is said, or a label: an answer for each item, and why or how."""

    def __init__(self, layer: Layer, *args: object, known: Mapping[str, str], **rest: object) -> None:
        super().__init__(*args, prefix=layer.rule.code, **rest)  # type: ignore[arg-type, misc]
        self.layer, self.items = layer, items_of(layer)
        answers = WORDS[layer.rule.kind]
        for place, item in enumerate(self.items):
            self.fields[f"item{place}"] = forms.ChoiceField(
                label=capfirst(gettext(item)),
                choices=[("", _("Pick an answer")), *((str(one), _(one)) for one in answers)],
                initial=known.get(item, ""),
                required=False,
            )
            self.fields[f"item{place}"].asked = True  # type: ignore[attr-defined]
        self.fields["why"] = line(200, label=WHYS[layer.rule.kind], required=False)

    @property
    def sentence(self) -> str:
        return in_language(self.layer.sentence, gettext)

    @property
    def basis(self) -> str:
        return in_language(self.layer.basis, gettext)

    def clean(self) -> dict[str, object]:
        cleaned = super().clean() or {}
        if not self.errors and not any(cleaned.get(f"item{place}") for place in range(len(self.items))):
            self.add_error(None, _("Pick an answer for one item at least."))
        return cleaned

    def answers(self) -> dict[str, AnswerIn]:
        said = self.cleaned_data
        return {
            item: AnswerIn(said[f"item{place}"], said["why"])
            for place, item in enumerate(self.items)
            if said[f"item{place}"]
        }


def asked_forms(
    layers: Sequence[Layer], answers: Mapping[str, Mapping[str, str]], sent: Mapping[str, str] | None
) -> list[AskedForm]:
    """A form for each list that is asked of a job; only the one that was sent is bound."""
    code = sent.get("code", "") if sent is not None else ""
    return [
        AskedForm(one, sent if one.rule.code == code else None, known=answers.get(one.rule.code, {}))
        for one in layers
    ]
