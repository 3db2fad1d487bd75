"""A program or device that gets a key."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.core.roles import Role
from shop.core.scopes import LONGEST_DAYS, Scope, roles_below
from shop.forms.fields import line
from shop.models import Person, ProgramKey
from shop.services import ProgramKeyIn

MAY = {
    Scope.CABINET_READ: _("Read deliveries, containers, counts, shipments"),
    Scope.CABINET_WRITE: _("Receive, weigh, count, ship"),
    Scope.JOBS_READ: _("Read jobs, stages and weigh tickets"),
    Scope.JOBS_WRITE: _("Check in, sign stages, weigh, close"),
    Scope.BOOK_READ: _("Read the refrigerant book"),
    Scope.PAPERS_READ: _("Read papers and the usage report's draft"),
    Scope.PEOPLE_READ: _("Read people, their 609 cards, and equipment"),
}
ROLE_NAMES = {
    Role.FRONT_OFFICE: _("Front office"),
    Role.TECHNICIAN: _("Technician"),
    Role.OWNER: _("Owner"),
}


def may(key: ProgramKey) -> list[str]:
    """What a key was given, in the words of the form that gave it."""
    return [str(words) for scope, words in MAY.items() if scope in key.opens]


class ProgramForm(forms.Form):
    """``person`` signs for what the program writes, so it never gets a role that they have not."""

    name = line(40, label=_("Program or device"), help_text=_("For example: label printer's tablet."))
    scopes = forms.MultipleChoiceField(
        label=_("It may"),
        choices=list(MAY.items()),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick what the program may do; without a tick it may do nothing.")},
    )
    role = forms.ChoiceField(
        label=_("As"), help_text=_("It gets into what this role may open, and no further.")
    )
    days = forms.IntegerField(
        label=_("Good for how many days"),
        min_value=1,
        max_value=LONGEST_DAYS,
        initial=90,
        widget=forms.NumberInput({"inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        role = self.fields["role"]
        role.choices = [(one.value, ROLE_NAMES[one]) for one in roles_below(person.role)]  # type: ignore[attr-defined]
        role.initial = person.role

    def said(self) -> ProgramKeyIn:
        one = self.cleaned_data
        scopes = [Scope(scope) for scope in one["scopes"]]
        return ProgramKeyIn(one["name"], Role(one["role"]), scopes, one["days"])
