"""Forms of a visit slip and of a visitor's pass."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from compliance.forms.binder import BinderForm
from compliance.services.visits import VisitIn
from shop.forms import DayField, WholeField, line
from shop.models import Establishment, Person

NIGHT = time(23, 59)


class VisitForm(forms.Form):
    """Who is at the counter."""

    name = line(80, label=_("Name"), help_text=_("As on the credentials."))
    agency = line(120, label=_("Agency"))
    credentials = forms.TypedChoiceField(
        label=_("Credentials seen"),
        choices=[("yes", _("yes")), ("no", _("no"))],
        widget=forms.RadioSelect,
        coerce=lambda said: said == "yes",
    )
    why = line(200, label=_("Here for"))
    came_at = forms.TimeField(label=_("Time in"), widget=forms.TimeInput({"type": "time"}, format="%H:%M"))
    host = forms.ModelChoiceField(Person.objects.none(), label=_("With whom"), empty_label=_("Choose"))

    def __init__(self, *args: Any, establishment: Establishment, **rest: Any) -> None:
        super().__init__(*args, **rest)
        here = Person.objects.at(establishment).filter(is_active=True)
        self.fields["host"].queryset = here  # type: ignore[attr-defined]

    def visit(self) -> VisitIn:
        said = self.cleaned_data
        return VisitIn(said["name"], said["agency"], said["credentials"], said["why"], said["host"])

    def came(self, today: date) -> datetime:
        return timezone.make_aware(datetime.combine(today, self.cleaned_data["came_at"]))


class ShownForm(forms.Form):
    what = line(200, label=_("What was shown"))


class CopyGivenForm(forms.Form):
    what = line(200, label=_("What was copied"))
    pages = WholeField(label=_("Pages"), least=1, most=999, required=False)


class QuestionForm(forms.Form):
    question = line(300, label=_("Question"))
    due = DayField(label=_("Answer owed by"))


class EndVisitForm(forms.Form):
    note = line(300, label=_("Anything to remember"), required=False)


class PassForm(BinderForm):
    """The days that the pass shows, and the hour of today at which it ends."""

    until = forms.TimeField(
        label=_("Ends today at"), widget=forms.TimeInput({"type": "time"}, format="%H:%M")
    )

    def ends(self, today: date) -> datetime:
        return timezone.make_aware(datetime.combine(today, self.cleaned_data["until"]))
