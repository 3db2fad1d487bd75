"""The hand-over pack for the sale of the shop."""

from __future__ import annotations

import tempfile

from django.contrib import messages
from django.http import FileResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from compliance.core.statement import THIRTY_DAYS
from compliance.forms.packages import SaleForm
from compliance.models import Package
from compliance.queries.packages import packages
from compliance.queries.selling import closing_counts, may_stay, sale_due
from compliance.services import make_hand_over
from compliance.sheets.writing import into_zip
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal
from shop.permissions import OWNER, by_password, open_to


@open_to(OWNER)
def page(request: SignedInRequest) -> HttpResponseBase:
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    counts = list(closing_counts(house, today))
    form = SaleForm(request.POST or None, counts=counts, people=may_stay(house))
    if request.method == "POST" and not by_password(request):
        messages.warning(request, _("Sign on with your password first: this holds the shop's records."))
        return redirect("hand-over")
    if request.method == "POST" and form.is_valid():
        file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
        try:
            made = make_hand_over(house, form.sale(), into_zip(file), today=today, at=at, by=request.user)
        except Refused as refused:
            file.close()
            show_refusal(form, refused)
        else:
            name = f"{slugify(house.name) or 'shop'}-hand-over-{made.day}.zip"
            return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
    packs = packages(house, Package.Kind.HAND_OVER)
    shown = {
        "form": form,
        "counts": counts,
        "packs": [(one, sale_due(one.sale.count)) for one in packs],
        "thirty_days": THIRTY_DAYS,
    }
    return render(request, "compliance/old/hand_over.html", shown)
