"""Deliveries: what came on which slip, and how it is taken in."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import ReceiveForm, UndoForm
from inventory.forms.receiving import as_typed
from inventory.models import Delivery
from inventory.queries import (
    can_groups,
    cans_of,
    container_types,
    deliveries,
    deposits_back,
    deposits_out,
    invoices_of,
    papers_of,
    return_slips,
    slips_of,
    suppliers,
    usual_delivery,
    usual_orders,
)
from inventory.services import add_invoice, add_slip, receive_delivery, undo_delivery
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, write_once, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, TECHNICIAN, open_to

PAGE = 50


def delivery_of(request: SignedInRequest, number: str) -> Delivery:
    """A delivery of this shop, or 404."""
    return get_object_or_404(deliveries(request.user.establishment), number=number)


def page_of(delivery: Delivery) -> str:
    return reverse("deliveries:page", args=[delivery.number])


def _sees_prices(request: SignedInRequest) -> bool:
    return request.user.role != TECHNICIAN


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    shown = {"deliveries": deliveries(request.user.establishment)[:PAGE], "prices": _sees_prices(request)}
    return render(request, "inventory/deliveries/list.html", shown)


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    delivery, prices = delivery_of(request, number), _sees_prices(request)
    cans = cans_of(delivery)
    shown: dict[str, Any] = {
        "delivery": delivery,
        "lines": [(line, line.type.net * line.sound) for line in delivery.lines.all()],
        "groups": can_groups(delivery),
        "refused": [can for can in cans if hasattr(can, "fate") and can.fate.what == "refused"],
        "returns": return_slips(delivery.establishment).filter(delivery=delivery),
        "slips": slips_of(delivery),
        "prices": prices,
    }
    if prices:
        shown |= {
            "invoices": invoices_of(delivery),
            "papers": papers_of(delivery),
            "deposits_out": deposits_out(delivery),
            "deposits_back": deposits_back(delivery),
        }
    return render(request, "inventory/deliveries/page.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Receive: type the slip, count it up, put it in the cabinet. Nothing is saved that was not shown first."""
    house, do = request.user.establishment, request.POST.get("do", "")
    if not (suppliers(house).exists() and container_types().exists()):
        return render(request, "inventory/deliveries/first.html", {"suppliers": suppliers(house)})
    form = ReceiveForm(request.POST or None, establishment=house, initial=_first(request), more=do == "more")
    shown: dict[str, Any] = {"form": form, "usual": usual_orders(house)}
    if request.method == "POST" and do != "more" and form.is_valid():
        shown["counted"] = form.lines
        if do in ("save", "another", "same") and form.was_shown:
            try:
                return _received(request, form, do)
            except Refused as refused:
                shown = shown | {"first": form.slip_known(), "twin": form.twin()}
                shown["counted"] = form.lines if shown["twin"] else None
                show_refusal(form, form.in_rows(refused))
    return render(request, "inventory/deliveries/new.html", shown)


def _first(request: SignedInRequest) -> dict[str, Any]:
    """What the boxes hold to begin with: the usual order that was tapped, or supplier and kind of the last one."""
    house, wanted = request.user.establishment, request.GET.get("usual", "")
    usual = next((one for one in usual_orders(house) if str(one.supplier.pk) == wanted), None)
    first = usual_delivery(house) if usual is None else as_typed(usual)
    return first | {"on": timezone.localdate(now()), "asked": Delivery.Asked.NOT_ASKED}


def _received(request: SignedInRequest, form: ReceiveForm, do: str) -> HttpResponse:
    """Write the delivery; or, when it is the ``same`` as one that is in, keep its slip and invoice with that one."""
    at, twin = now(), form.twin() if do == "same" else None
    today = timezone.localdate(at)

    def write() -> str:
        house, invoice_in = request.user.establishment, form.invoice_now()
        if twin is not None:
            delivery, kept = twin, add_slip(twin, form.cleaned_data["slip"], at=at, by=request.user)
            said = _("Slip %(slip)s is kept with %(number)s. No can was added.")
            messages.success(request, said % {"slip": kept.slip, "number": twin.number})
        else:
            delivery = receive_delivery(
                form.delivery(another=do == "another"), house, today=today, at=at, by=request.user
            )
            cans = [can.code for can in cans_of(delivery) if can.delivered.sound]
            messages.success(
                request, f"In the cabinet: {len(cans)} cans, {cans[0]} to {cans[-1]}." if cans else "Kept."
            )
        if invoice_in is not None:
            add_invoice(delivery, invoice_in, today=today, at=at, by=request.user)
        return page_of(delivery)

    return write_once(request, write)


@open_to(OWNER)
def undo(request: SignedInRequest, number: str) -> HttpResponse:
    """Take a delivery back out of the book by a reversal; both entries stay readable."""
    delivery, at = delivery_of(request, number), now()
    form = UndoForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            undo_delivery(delivery, why=form.reason(), today=timezone.localdate(at), at=at, by=request.user)
            messages.success(
                request, f"{delivery.number} is undone. Its entry and the reversal stay in the book."
            )
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/undo.html", {"form": form, "delivery": delivery})
