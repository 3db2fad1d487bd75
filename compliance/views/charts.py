"""The saturation chart: on the page, and as a sheet to pin in the bay."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms.chart import ChartForm
from compliance.services.charts import chart_in_words, chart_pdf
from shop.core.cautions import DEFER, GLOVES
from shop.http import SignedInRequest, now
from shop.permissions import OWNER, TECHNICIAN, open_to
from shop.queries import rules_on


@open_to(TECHNICIAN, OWNER)
def page(request: SignedInRequest) -> HttpResponse:
    form = _form(request)
    shown = {
        "form": form,
        "sheet": chart_in_words(form.sheet(request.user.establishment.name)),
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
    return HttpResponse(
        chart_pdf(form.sheet(request.user.establishment.name)),
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="saturation-chart.pdf"'},
    )


def _form(request: SignedInRequest) -> ChartForm:
    rules = rules_on(request.user.establishment, timezone.localdate(now()))
    return ChartForm(request.GET or None, rules=rules)
