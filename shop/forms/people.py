"""People, and from when to when they are authorised."""

from __future__ import annotations

from datetime import date

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

from shop.core.roles import Role
from shop.forms.fields import DayField, line
from shop.services import PersonIn


class SignOnForm(AuthenticationForm):
    """Who is standing here. The sign-on name is small letters whatever the keyboard made of it."""

    username = line(
        40,
        label=_("Sign-on name"),
        widget=forms.TextInput(
            {"autofocus": True, "autocapitalize": "none", "autocomplete": "username", "spellcheck": "false"}
        ),
    )
    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=200,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
    )
    error_messages = {
        "invalid_login": _("That sign-on name and password do not fit. Type both again."),
        "inactive": _("That sign-on name and password do not fit. Type both again."),
    }

    def clean_username(self) -> str:
        return str(self.cleaned_data["username"]).strip().lower()


class PersonForm(forms.Form):
    """Somebody new who may sign on."""

    name = line(80, label="Name, as on the 609 card")
    role = forms.ChoiceField(
        choices=[(role.value, role.value.capitalize()) for role in Role],
        help_text="The front office receives and counts, a technician works on cars, the owner may do everything.",
    )
    username = forms.RegexField(
        r"^[a-z][a-z0-9.-]*$",
        label="Sign-on name",
        max_length=40,
        help_text="Small letters, digits, dots and dashes; for example dev.",
        error_messages={"invalid": "Use small letters, digits, dots and dashes; begin with a letter."},
        widget=forms.TextInput({"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}),
    )
    password = forms.CharField(
        label="First password",
        strip=False,
        max_length=200,
        help_text="Ten characters or more, not a common word and not the name.",
        widget=forms.PasswordInput({"autocomplete": "new-password"}),
    )

    def person(self) -> PersonIn:
        said = self.cleaned_data
        return PersonIn(said["name"], said["username"], said["role"], said["password"])


class PasswordForm(forms.Form):
    """A new first password for somebody."""

    password = forms.CharField(
        label="New password",
        strip=False,
        max_length=200,
        help_text="Ten characters or more, not a common word and not the name.",
        widget=forms.PasswordInput({"autocomplete": "new-password"}),
    )

    def word(self) -> str:
        return str(self.cleaned_data["password"])


class AuthoriseForm(forms.Form):
    """From which day somebody may work on air conditioning here."""

    first_day = DayField(label="First day of air conditioning work here")

    def day(self) -> date:
        first_day: date = self.cleaned_data["first_day"]
        return first_day


class EndForm(forms.Form):
    """The last day of somebody's air conditioning work here."""

    last_day = DayField(label="Last day of air conditioning work here")
    may_sign_on = forms.BooleanField(
        label="Stays here in another role and may go on signing on",
        required=False,
        help_text="Left empty, the sign-on ends. Cards and signed records stay on file either way.",
    )

    def day(self) -> date:
        last_day: date = self.cleaned_data["last_day"]
        return last_day

    def stays(self) -> bool:
        return bool(self.cleaned_data["may_sign_on"])


class DayForm(forms.Form):
    """The day that the work-day question asks about."""

    day = DayField(label=_("Was the card in force on"))

    def chosen(self) -> date:
        day: date = self.cleaned_data["day"]
        return day
