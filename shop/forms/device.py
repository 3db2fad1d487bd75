"""What is set on this device, and what people show at a shared station."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.contrib.auth import authenticate
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop.backends import BADGE_TRIES, pin_tries
from shop.core.quick import PIN_DIGITS
from shop.forms.fields import line
from shop.models import Person

HIDDEN = {"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}
WRONG_CHOICE = ("required", "invalid_choice")


def _pin_field(label: Any, **more: Any) -> forms.CharField:
    attrs = {**HIDDEN, "inputmode": "numeric", "class": "pin"}
    return forms.CharField(label=label, max_length=PIN_DIGITS[1], widget=forms.PasswordInput(attrs), **more)


class DeviceForm(forms.Form):
    """How pages look on this device."""

    look = forms.ChoiceField(
        label=_("Screen"),
        widget=forms.RadioSelect,
        choices=[("device", _("As the device asks")), ("dark", _("Dark bay")), ("bright", _("Bright door"))],
        error_messages=dict.fromkeys(WRONG_CHOICE, _("Look: choose one of the three.")),
    )
    thumb = forms.ChoiceField(
        label=_("Thumb side"),
        widget=forms.RadioSelect,
        choices=[("right", _("Right")), ("left", _("Left"))],
        error_messages=dict.fromkeys(WRONG_CHOICE, _("Thumb side: choose right or left.")),
    )


class LanguageForm(forms.Form):
    """In which language the pages speak to somebody."""

    language = forms.ChoiceField(
        label=_("Language"),
        choices=settings.LANGUAGES,
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(WRONG_CHOICE, _("Language: choose English or Español.")),
    )


class StationForm(forms.Form):
    """A name for a shared station."""

    name = line(40, label=_("Name of the station"), initial=_("Bay PC"))


class NewPinForm(forms.Form):
    """A PIN of one's own, typed twice since nobody sees it."""

    pin = _pin_field(
        _("PIN"), help_text=_("4 to 8 digits. Not one digit all along, and not a run such as 1234.")
    )
    again = _pin_field(_("PIN again"))

    def clean_again(self) -> str:
        again = str(self.cleaned_data["again"])
        if again != self.cleaned_data.get("pin", again):
            raise ValidationError(_("PIN again: that is another PIN. Type it as above."))
        return again

    def chosen(self) -> str:
        return str(self.cleaned_data["pin"])


class PinForm(forms.Form):
    """The PIN of the person whose name was tapped."""

    pin = _pin_field(_("PIN"))
    pin.widget.attrs["autofocus"] = True

    def __init__(self, request: HttpRequest, person: Person, *rest: Any) -> None:
        self.request, self.person = request, person
        super().__init__(*rest)

    def clean_pin(self) -> str:
        pin = str(self.cleaned_data["pin"])
        tries = pin_tries(self.person)
        if authenticate(self.request, username=tries, person=self.person, pin=pin) is None:
            raise ValidationError(_("That PIN does not fit. Type it again."))
        return pin


class BadgeForm(forms.Form):
    """A badge held to the reader, which types its code and Enter. No keyboard comes up on a touch screen."""

    badge = forms.CharField(
        label=_("Scan your badge"),
        max_length=100,
        widget=forms.PasswordInput({**HIDDEN, "inputmode": "none", "autofocus": True}),
    )
    bearer: Person | None = None

    def __init__(self, request: HttpRequest, *rest: Any) -> None:
        self.request = request
        super().__init__(*rest)

    def clean_badge(self) -> str:
        code = str(self.cleaned_data["badge"])
        self.bearer = authenticate(self.request, username=BADGE_TRIES, badge=code)
        if self.bearer is None:
            raise ValidationError(_("No badge of this shop has that code. Scan it again, or tap your name."))
        return code
