"""Deliveries: what came on which slip, its cans, its invoice."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from inventory.forms import InvoiceForm, ReceiveForm, UndoForm
from inventory.models import Delivery
from inventory.queries import can_groups, cans_of, container_types, deliveries, suppliers, usual_delivery
from inventory.services import add_invoice, receive_delivery, undo_delivery
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, write_once, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, TECHNICIAN, open_to

PAGE = 50


def _delivery(request: SignedInRequest, number: str) -> Delivery:
    return get_object_or_404(deliveries(request.user.establishment), number=number)


def _page_of(delivery: Delivery) -> str:
    return reverse("deliveries:page", args=[delivery.number])


def _sees_prices(request: SignedInRequest) -> bool:
    return request.user.role != TECHNICIAN


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    shown = {"deliveries": deliveries(request.user.establishment)[:PAGE], "prices": _sees_prices(request)}
    return render(request, "inventory/deliveries/list.html", shown)


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    delivery = _delivery(request, number)
    lines = [(line, line.type.net * line.sound) for line in delivery.lines.all()]
    shown = {
        "delivery": delivery,
        "lines": lines,
        "groups": can_groups(delivery),
        "prices": _sees_prices(request),
    }
    return render(request, "inventory/deliveries/page.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Receive: type the slip, count it up, put it in the cabinet. Nothing is saved that was not shown first."""
    house, do = request.user.establishment, request.POST.get("do", "")
    if not (suppliers(house).exists() and container_types().exists()):
        return render(request, "inventory/deliveries/first.html", {"suppliers": suppliers(house)})
    usual = usual_delivery(house) | {"on": timezone.localdate(now()), "asked": Delivery.Asked.NOT_ASKED}
    form = ReceiveForm(request.POST or None, establishment=house, initial=usual, more=do == "more")
    shown: dict[str, Any] = {"form": form}
    if request.method == "POST" and do != "more" and form.is_valid():
        shown["counted"] = form.lines
        if do == "save" and form.was_shown:
            try:
                return _received(request, form)
            except Refused as refused:
                shown = {"form": form, "first": form.slip_known(deliveries(house))}
                show_refusal(form, form.in_rows(refused))
    return render(request, "inventory/deliveries/new.html", shown)


def _received(request: SignedInRequest, form: ReceiveForm) -> HttpResponse:
    at = now()
    today = timezone.localdate(at)

    def write() -> str:
        house, invoice_in = request.user.establishment, form.invoice_now()
        delivery = receive_delivery(form.delivery(), house, today=today, at=at, by=request.user)
        if invoice_in is not None:
            add_invoice(delivery, invoice_in, today=today, at=at, by=request.user)
        cans = [can.code for can in cans_of(delivery) if can.delivered.sound]
        messages.success(
            request, f"In the cabinet: {len(cans)} cans, {cans[0]} to {cans[-1]}." if cans else "Kept."
        )
        return _page_of(delivery)

    return write_once(request, write)


@open_to(FRONT_OFFICE, OWNER)
def invoice(request: SignedInRequest, number: str) -> HttpResponse:
    """Put an invoice on a delivery, or its price right. Weights do not move."""
    delivery, at = _delivery(request, number), now()
    form = InvoiceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            today = timezone.localdate(at)
            added = add_invoice(delivery, form.invoice(), today=today, at=at, by=request.user)
            messages.success(request, f"Invoice {added.number} is on {delivery.number}. No weight moved.")
            return _page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/invoice.html", {"form": form, "delivery": delivery})


@open_to(OWNER)
def undo(request: SignedInRequest, number: str) -> HttpResponse:
    """Take a delivery back out of the book by a reversal; both entries stay readable."""
    delivery, at = _delivery(request, number), now()
    form = UndoForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            undo_delivery(delivery, why=form.reason(), today=timezone.localdate(at), at=at, by=request.user)
            messages.success(
                request, f"{delivery.number} is undone. Its entry and the reversal stay in the book."
            )
            return _page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/undo.html", {"form": form, "delivery": delivery})
