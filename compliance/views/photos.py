"""Photos of a job: take one, look at one, set one aside."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.core.stages import StageKind
from compliance.forms import WhyForm
from compliance.forms.photos import PhotoForm
from compliance.models import Job, Photo
from compliance.services import keep_photo, set_photo_aside
from compliance.views.jobs import job_of
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, write_once
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to

SHOWING = {
    "Cache-Control": "private, no-store",
    # The style is the browser's own, with which it lays out a picture that is opened by itself.
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
}


@open_to(TECHNICIAN, OWNER)
def new(request: SignedInRequest, number: str) -> HttpResponse:
    job, stage = job_of(request, number), _stage(request)
    sent = request.method == "POST"
    form = PhotoForm(request.POST if sent else None, request.FILES, stage=stage)
    if sent and form.is_valid():
        try:
            return write_once(request, lambda: _kept(request, job, form))
        except Refused as refused:
            show_refusal(form, refused)
    kind = stage.value if form["back"].value() == "stage" else ""
    context = {"job": job, "stage": stage, "kind": kind, "photo_form": form}
    return render(request, "compliance/photos/new.html", context)


@open_to(*EVERYONE)
def show(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    photo = _photo(request, number, pk)
    name = {"Content-Disposition": f'inline; filename="{number}-photo-{pk}.jpg"'}
    return HttpResponse(bytes(photo.jpeg), content_type="image/jpeg", headers=SHOWING | name)


@open_to(TECHNICIAN, OWNER)
def set_aside(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    photo = _photo(request, number, pk)
    form = WhyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            set_photo_aside(photo, why=form.reason(), at=now(), by=request.user)
            messages.success(request, _("The photo was set aside."))
            return reverse("jobs:page", args=[number])

        try:
            return write_once(request, write)
        except Refused as refused:
            show_refusal(form, refused)
    return render(request, "compliance/photos/set_aside.html", {"form": form, "photo": photo})


def _kept(request: SignedInRequest, job: Job, form: PhotoForm) -> str:
    """Keep the photo and go back to the page it was taken on: this job's, or this stage's; no other is possible."""
    moment = now()
    photo = keep_photo(job, form.photo_in(), at=moment, by=request.user)
    if photo.at == moment:
        messages.success(request, _("Photo kept: %(what)s.") % {"what": photo.get_what_display()})
    else:
        when = timezone.localtime(photo.at).strftime("%H:%M:%S")
        messages.info(request, _("This photo was kept already, at %(when)s.") % {"when": when})
    if form.cleaned_data["back"] == "stage":
        return reverse("jobs:stage", args=[job.number, form.stage.value])
    return reverse("jobs:page", args=[job.number])


def _stage(request: SignedInRequest) -> StageKind:
    try:
        return StageKind(request.GET.get("stage", StageKind.CHECK_IN))
    except ValueError:
        raise Http404 from None


def _photo(request: SignedInRequest, number: str, pk: int) -> Photo:
    return get_object_or_404(job_of(request, number).photos.shown().select_related("job", "by"), pk=pk)
