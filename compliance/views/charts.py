"""The saturation chart: on the page, and as a sheet to pin in the bay."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import get_language, gettext

from compliance.core.translated import spoken
from compliance.forms.chart import ChartForm
from compliance.pdf.bay_chart import draw_bay_chart
from shop.core.cautions import DEFER, GLOVES
from shop.http import SignedInRequest, now
from shop.permissions import OWNER, TECHNICIAN, open_to
from shop.queries import rules_on


@open_to(TECHNICIAN, OWNER)
def page(request: SignedInRequest) -> HttpResponse:
    form = _form(request)
    shown = {
        "form": form,
        "sheet": spoken(form.sheet(request.user.establishment.name), gettext),
        "asked": request.GET.urlencode() if form.is_valid() else "",
        "cautions": (GLOVES,),
        "defer": DEFER,
    }
    return render(request, "compliance/sums/chart.html", shown)


@open_to(TECHNICIAN, OWNER)
def pdf(request: SignedInRequest) -> HttpResponse:
    """One Letter sheet in the reader's language. A height that cannot be is said on the page, not drawn."""
    form = _form(request)
    if form.is_bound and not form.is_valid():
        return redirect(f"{reverse('sums:chart')}?{request.GET.urlencode()}")
    sheet = spoken(form.sheet(request.user.establishment.name), gettext)
    return HttpResponse(
        draw_bay_chart(sheet, get_language() or "en"),
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="saturation-chart.pdf"'},
    )


def _form(request: SignedInRequest) -> ChartForm:
    rules = rules_on(request.user.establishment, timezone.localdate(now()))
    return ChartForm(request.GET or None, rules=rules)
