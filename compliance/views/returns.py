"""The return slip: a page and a PDF of the same blocks, and the words of a reminder."""

from __future__ import annotations

from urllib.parse import quote

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _

from compliance.core.return_slip import return_slip
from compliance.queries.return_slips import return_slip_facts
from compliance.services.return_slips import return_slip_pdf
from inventory.models import ReturnSlip
from inventory.queries import return_slips
from shop.http import SignedInRequest
from shop.permissions import FRONT_OFFICE, OWNER, open_to


def _slip(request: SignedInRequest, number: str) -> ReturnSlip:
    rows = return_slips(request.user.establishment).select_related("establishment")
    return get_object_or_404(rows.select_related("delivery__supplier", "by"), number=number)


@open_to(FRONT_OFFICE, OWNER)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    slip = _slip(request, number)
    shown = {"slip": slip, "paper": return_slip(return_slip_facts(slip)), "reminder": _reminder(slip)}
    return render(request, "compliance/papers/return_slip.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def pdf(request: SignedInRequest, number: str) -> HttpResponse:
    name = {"Content-Disposition": f'inline; filename="{number}.pdf"', "X-Content-Type-Options": "nosniff"}
    return HttpResponse(return_slip_pdf(_slip(request, number)), content_type="application/pdf", headers=name)


def _reminder(slip: ReturnSlip) -> str:
    """An email to the supplier, ready to be looked at and sent by a person."""
    cans = ", ".join(sorted(row.container_id for row in slip.cans.all()))
    subject = _("Credit for return %(slip)s, packing slip %(number)s")
    words = _(
        "On %(day)s we returned %(cans)s of your packing slip %(number)s, handed to %(to)s. Reason: %(why)s."
        " We have no credit yet. Please send it."
    )
    facts = {
        "slip": slip.number,
        "number": slip.delivery.slip,
        "day": f"{slip.on:%b} {slip.on.day}, {slip.on.year}",
        "cans": cans,
        "to": slip.handed_to,
        "why": slip.reason,
    }
    return f"mailto:?subject={quote(subject % facts)}&body={quote(words % facts)}"
