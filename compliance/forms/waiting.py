"""An entry that leaves a device's pile without counting."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Any

from django import forms

from compliance.forms.stages import MANY
from compliance.services.waiting import SpareIn

MOST_FIELDS, LONGEST_VALUE = 60, 500


class AsideForm(forms.Form):
    """Filled by the script that shows the pile; ``fields`` is a list of names and values as the form had them."""

    path = forms.CharField(max_length=200)
    fields_typed = forms.CharField(max_length=20_000)
    says = forms.CharField(max_length=300)
    why = forms.CharField(max_length=300, required=False)

    def clean_fields_typed(self) -> dict[str, Any]:
        try:
            pairs = json.loads(self.cleaned_data["fields_typed"])
            typed = [(str(name)[:40], str(value)[:LONGEST_VALUE]) for name, value in pairs]
        except (ValueError, TypeError, RecursionError):
            raise forms.ValidationError("a list of names and values") from None
        return as_typed(typed[:MOST_FIELDS])

    def entry(self, typed_at: datetime | None, ahead: timedelta | None) -> SpareIn:
        said = self.cleaned_data
        return SpareIn(said["path"], said["fields_typed"], said["says"], said["why"], typed_at, ahead)


def as_typed(pairs: list[tuple[str, str]]) -> dict[str, Any]:
    """What was typed by the names of the fields. A name of several answers has a list. PostgreSQL keeps no NUL."""
    typed: dict[str, Any] = {}
    for raw, text in pairs:
        name, value = raw.replace("\0", ""), text.replace("\0", "")
        if name in MANY:
            typed.setdefault(name, []).append(value)
        else:
            typed[name] = value
    return typed
