"""The monthly copy: made, handed out, and when each month's was made last."""

from __future__ import annotations

import tempfile
from datetime import timedelta

from django.contrib import messages
from django.http import FileResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from compliance.forms.packages import BundleForm
from compliance.models import Package
from compliance.queries.packages import made_after, packages
from compliance.services import make_bundle
from compliance.sheets.writing import into_zip
from shop.core.findings import Refused
from shop.core.period import Period
from shop.http import SignedInRequest, now, show_refusal
from shop.permissions import FRONT_OFFICE, OWNER, by_password, open_to


@open_to(FRONT_OFFICE, OWNER)
def page(request: SignedInRequest) -> HttpResponseBase:
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    last = Period.month(today.replace(day=1) - timedelta(days=1))
    form = BundleForm(request.POST or None, today=today, initial={"month": f"{last.first:%Y-%m}"})
    if request.method == "POST" and not by_password(request):
        messages.warning(request, _("Sign on with your password first: this holds customers' details."))
        return redirect("bundle")
    if request.method == "POST" and form.is_valid():
        month, file = form.period(), tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
        try:
            make_bundle(house, into_zip(file), month=month, today=today, at=at, by=request.user)
        except Refused as refused:
            file.close()
            show_refusal(form, refused)
        else:
            name = f"{slugify(house.name) or 'shop'}-{month.first:%Y-%m}.zip"
            return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
    shown = {
        "form": form,
        "last": last.first,
        "made": made_after(house, last),
        "copies": packages(house, Package.Kind.BUNDLE),
    }
    return render(request, "compliance/old/bundle.html", shown)
