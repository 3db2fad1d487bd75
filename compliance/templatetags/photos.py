"""The photos part of a page: what is shown, and the form to take one, where there may be one more."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import Any

from django import template
from django.urls import reverse

from compliance.core.stages import StageKind
from compliance.forms.photos import PhotoForm
from compliance.models import Job, Photo
from compliance.queries.photos import label_photo_by, photos_of, stage_reached
from shop.core.roles import Role

register = template.Library()


@dataclass(frozen=True, slots=True)
class PhotosPart:
    """``set_aside`` is for the owner's eyes; without a ``form`` no photo can be taken here."""

    shown: list[Photo]
    set_aside: list[Photo]
    form: PhotoForm | None
    address: str
    once: str  # its own: the key of the form beside it must stay unused


@register.simple_tag(takes_context=True)
def photos_part(context: dict[str, Any], job: Job, kind: str = "") -> PhotosPart:
    """The photos of a job, or of one of its stages; a refused form of the page comes back as ``photo_form``."""
    person = context["request"].user
    stage = StageKind(kind) if kind else None
    photos = list(photos_of(job, stage))
    form: PhotoForm | None = None
    address = ""
    if person.role != Role.FRONT_OFFICE and not hasattr(job, "closing"):
        reached = stage or stage_reached(job)
        form = context.get("photo_form") or PhotoForm(stage=reached, back="stage" if stage else "job")
        address = f"{reverse('photos:new', args=[job.number])}?stage={form.stage}"
    return PhotosPart(
        shown=[photo for photo in photos if not hasattr(photo, "set_aside")],
        set_aside=[photo for photo in photos if hasattr(photo, "set_aside") and person.is_owner],
        form=form,
        address=address,
        once=secrets.token_urlsafe(16),
    )


@register.simple_tag(takes_context=True)
def known_label(context: dict[str, Any]) -> Photo | None:
    """The label photo of the car that the page's address names by ``vin`` or ``plate``."""
    request = context["request"]
    typed = {name: request.GET.get(name, "").replace("\0", "")[:20] for name in ("vin", "plate")}
    return label_photo_by(request.user.establishment, **typed)
