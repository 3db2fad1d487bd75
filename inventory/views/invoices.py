"""Invoices of deliveries: put on file and put right. No weight moves."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import InvoiceForm
from inventory.forms.invoicing import as_typed
from inventory.models import Delivery, Invoice
from inventory.queries import deliveries, last_prices, same_supplier
from inventory.services import add_invoice, put_invoice_right
from inventory.views.deliveries import delivery_of, page_of
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


def _billed(request: SignedInRequest, delivery: Delivery, already: list[Delivery]) -> list[Delivery]:
    """The deliveries that an invoice is for: those it has, and what ``?also=`` adds."""
    wanted = {delivery.pk, *(one.pk for one in already)}
    also = same_supplier(delivery).filter(number__in=request.GET.getlist("also"))
    rows = deliveries(request.user.establishment).filter(pk__in=[*wanted, *also.values_list("pk", flat=True)])
    return sorted(rows, key=lambda one: one.pk != delivery.pk)


@open_to(FRONT_OFFICE, OWNER)
def add(request: SignedInRequest, number: str) -> HttpResponse:
    """Put an invoice on a delivery; on others too when it bills them."""
    delivery, at = delivery_of(request, number), now()
    billed = _billed(request, delivery, [])
    form = InvoiceForm(request.POST or None, deliveries=billed)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            today, other = timezone.localdate(at), [one for one in billed if one.pk != delivery.pk]
            kept = add_invoice(delivery, form.invoice(), *other, today=today, at=at, by=request.user)
            said = _("Invoice %(invoice)s is on %(number)s. No weight moved.")
            messages.success(request, said % {"invoice": kept.number, "number": delivery.number})
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return _shown(request, form, delivery, billed, None)


@open_to(FRONT_OFFICE, OWNER)
def right(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    """Put an invoice right: a price, its number, which deliveries it bills. What was on file stays readable."""
    delivery, at = delivery_of(request, number), now()
    rows = Invoice.objects.prefetch_related("prices", "deposits", "deliveries")
    old = get_object_or_404(rows.filter(billed__delivery__in=_standing_for(delivery)).distinct(), pk=pk)
    billed = _billed(request, delivery, list(old.deliveries.all()))
    form = InvoiceForm(request.POST or None, deliveries=billed, initial=as_typed(old))
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            today = timezone.localdate(at)
            kept = put_invoice_right(old, form.invoice(), billed, today=today, at=at, by=request.user)
            said = _("Invoice %(invoice)s was put right. No weight moved.")
            messages.success(request, said % {"invoice": kept.number})
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return _shown(request, form, delivery, billed, old)


def _standing_for(delivery: Delivery) -> list[int]:
    """A delivery, and those that turned out to be the same."""
    return [delivery.pk, *(slip.was_id for slip in delivery.other_slips.all() if slip.was_id)]


def _shown(
    request: SignedInRequest,
    form: InvoiceForm,
    delivery: Delivery,
    billed: list[Delivery],
    old: Invoice | None,
) -> HttpResponse:
    others = [one for one in same_supplier(delivery)[:6] if one not in billed]
    shown = {
        "form": form,
        "delivery": delivery,
        "billed": billed,
        "others": others,
        "old": old,
        "last": [(price, round(price.priced.per_can)) for price in last_prices(delivery).values()],
    }
    return render(request, "inventory/deliveries/invoice.html", shown)
