"""Take a photo: the file, what it shows, and a few words."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.stages import StageKind
from compliance.models import Photo
from compliance.services import PhotoIn
from shop.core.findings import Refused
from shop.forms.fields import sentences
from shop.services.cleaning import CleanPhoto, clean_photo

SHOWN_AT = {
    StageKind.CHECK_IN: Photo.What.LABEL,
    StageKind.CHARGE: Photo.What.SCALE,
    StageKind.LEAK_CHECK: Photo.What.LEAK,
}


class PhotoForm(forms.Form):
    """A photo is cleaned while the form is read, before a transaction holds anything up."""

    photo = forms.FileField(
        label=_("Take a photo"),
        help_text=_("JPEG, PNG or WebP, at most 12 MB. Where it was taken is not kept."),
        widget=forms.FileInput({"accept": "image/*", "capture": "environment"}),
        error_messages={
            "required": _("Take a photo first, or choose one."),
            "invalid": _("Take a photo first, or choose one."),
            "empty": _("The photo is empty. Take it again."),
        },
    )
    what = forms.ChoiceField(
        label=_("What it shows"),
        choices=Photo.What.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what the photo shows.")},
    )
    caption = forms.CharField(label=_("In a few words"), required=False, max_length=120)
    back = forms.Field(required=False, widget=forms.HiddenInput)  # "stage", or else the job's page

    def __init__(self, data: Any = None, files: Any = None, *, stage: StageKind, back: str = "job") -> None:
        first = {"what": SHOWN_AT.get(stage, Photo.What.OTHER), "back": back}
        super().__init__(data, files, auto_id="photo_%s", initial=first)
        self.stage = stage

    def clean_photo(self) -> CleanPhoto:
        try:
            return clean_photo(self.cleaned_data["photo"].read())
        except Refused as refused:
            raise forms.ValidationError(sentences(list(refused.findings))) from refused

    def photo_in(self) -> PhotoIn:
        typed = self.cleaned_data
        return PhotoIn(typed["photo"], Photo.What(typed["what"]), self.stage, typed["caption"])
