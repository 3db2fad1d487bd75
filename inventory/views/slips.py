"""A delivery afterwards: its rest, its lots, a second slip of it, its papers."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import AttachForm, DropForm, LotForm, MergeForm, RestForm
from inventory.models import Attachment, Delivery
from inventory.queries import cans_of, papers_of
from inventory.services import attach_paper, drop_rest, merge_deliveries, receive_rest, split_lot
from inventory.views.attached import handed_out
from inventory.views.deliveries import delivery_of, page_of
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def rest(request: SignedInRequest, number: str) -> HttpResponse:
    """What was to come of a slip has come."""
    delivery, at = delivery_of(request, number), now()
    waiting = [line for line in delivery.lines.all() if line.to_come]
    form = RestForm(request.POST or None, waiting=waiting, initial={"on": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            receipt = receive_rest(
                delivery, form.rest(), today=timezone.localdate(at), at=at, by=request.user
            )
            sound = [row.container_id for row in receipt.cans.filter(sound=True).order_by("pk")]
            said = _("In the cabinet: %(cans)s cans, %(first)s to %(last)s.")
            numbers = {"cans": len(sound), "first": sound[0], "last": sound[-1]} if sound else {}
            messages.success(request, said % numbers if sound else _("Kept. No sound can came."))
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/rest.html", {"form": form, "delivery": delivery})


@open_to(FRONT_OFFICE, OWNER)
def drop(request: SignedInRequest, number: str, line: int) -> HttpResponse:
    """The rest of a line will not come."""
    delivery = delivery_of(request, number)
    dropped = get_object_or_404(delivery.lines.select_related("type"), pk=line)
    form = DropForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            drop_rest(dropped, why=form.reason(), at=now(), by=request.user)
            messages.success(request, _("%(what)s: nothing more is waited for.") % {"what": dropped.type})
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "delivery": delivery, "line": dropped}
    return render(request, "inventory/deliveries/drop.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def lots(request: SignedInRequest, number: str) -> HttpResponse:
    """Split a lot, or put it right. Numbers stay."""
    delivery = delivery_of(request, number)
    form = LotForm(request.POST or None, cans=cans_of(delivery))
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            cans, lot = list(form.cleaned_data["cans"]), form.cleaned_data["lot"]
            split_lot(delivery, cans, lot, at=now(), by=request.user)
            messages.success(
                request, _("%(cans)s cans are of lot %(lot)s.") % {"cans": len(cans), "lot": lot}
            )
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/lots.html", {"form": form, "delivery": delivery})


@open_to(FRONT_OFFICE, OWNER)
def merge(request: SignedInRequest, number: str) -> HttpResponse:
    """Another delivery is this one, typed from a second paper: its cans go, its paper stays."""
    delivery, at = delivery_of(request, number), now()
    form = MergeForm(request.POST or None, delivery=delivery)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            other: Delivery = form.cleaned_data["other"]
            merge_deliveries(delivery, other, today=timezone.localdate(at), at=at, by=request.user)
            said = _("%(other)s was %(number)s. Both papers are kept, with one set of cans.")
            messages.success(request, said % {"other": other.number, "number": delivery.number})
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/merge.html", {"form": form, "delivery": delivery})


@open_to(FRONT_OFFICE, OWNER)
def attach(request: SignedInRequest, number: str) -> HttpResponse:
    """Put a PDF or a photo on file with a delivery."""
    delivery, sent = delivery_of(request, number), request.method == "POST"
    first = {"what": request.GET.get("what", Attachment.What.SLIP)}
    form = AttachForm(request.POST if sent else None, request.FILES if sent else None, initial=first)
    if sent and form.is_valid():

        def write() -> str:
            paper, what = form.paper_in()
            kept = attach_paper(delivery, paper, what, at=now(), by=request.user)
            messages.success(request, _("On file: %(what)s.") % {"what": kept.get_what_display()})
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/attach.html", {"form": form, "delivery": delivery})


@open_to(FRONT_OFFICE, OWNER)
def paper(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    """Hand out a paper as it is kept."""
    kept = get_object_or_404(papers_of(delivery_of(request, number)), pk=pk)
    return handed_out(kept, f"{number}-{kept.what}-{pk}")
