"""Kept files handed out, and the shop's own papers from before the book."""

from __future__ import annotations

from itertools import groupby

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import AsideForm, EarlierForm
from inventory.models.attached import Attached
from inventory.queries import earlier_papers
from inventory.services import keep_earlier_paper, set_earlier_aside
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to

# A stored PDF is somebody else's work: it is handed out to be saved, never opened inside our pages.
HANDED_OUT = {
    "Cache-Control": "private, no-store",
    "Content-Security-Policy": "default-src 'none'; sandbox; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
}


def handed_out(kept: Attached, name: str) -> HttpResponse:
    """A kept file as it is, to be saved under a name of ours."""
    named = {"Content-Disposition": f'attachment; filename="{name}.{kept.ending}"'}
    return HttpResponse(bytes(kept.content), content_type=kept.media, headers=HANDED_OUT | named)


@open_to(FRONT_OFFICE, OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    """Scans by month, the newest month first."""
    papers = earlier_papers(request.user.establishment).select_related("by", "set_aside__by")
    months = [(month, list(rows)) for month, rows in groupby(papers, key=lambda one: one.month)]
    return render(request, "inventory/earlier/list.html", {"months": months})


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    sent, at = request.method == "POST", now()
    form = EarlierForm(
        request.POST if sent else None,
        request.FILES if sent else None,
        initial={"month": request.GET.get("month", "")[:7]},
    )
    if sent and form.is_valid():

        def write() -> str:
            said, today = form.cleaned_data, timezone.localdate(at)
            month, house = said["month"], request.user.establishment
            keep_earlier_paper(said["paper"], month, said["what"], house, today=today, at=at, by=request.user)
            messages.success(request, _("On file under %(month)s.") % {"month": f"{said['month']:%Y-%m}"})
            return reverse("earlier:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/earlier/new.html", {"form": form})


@open_to(FRONT_OFFICE, OWNER)
def paper(request: SignedInRequest, pk: int) -> HttpResponse:
    """Hand out a scan as it is kept."""
    kept = get_object_or_404(earlier_papers(request.user.establishment, whole=True), pk=pk)
    return handed_out(kept, f"earlier-{kept.month:%Y-%m}-{kept.pk}")


@open_to(FRONT_OFFICE, OWNER)
def aside(request: SignedInRequest, pk: int) -> HttpResponse:
    """A scan counts no more: it was of another shop, or is there twice."""
    kept = get_object_or_404(earlier_papers(request.user.establishment), pk=pk)
    form = AsideForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            set_earlier_aside(kept, form.cleaned_data["why"], at=now(), by=request.user)
            messages.success(request, _("Set aside. The paper stays on file."))
            return reverse("earlier:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/earlier/aside.html", {"form": form, "paper": kept})
