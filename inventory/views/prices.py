"""The bookkeeper's sheet: what new refrigerant in cans cost and is worth, apart from the refrigerant book."""

from __future__ import annotations

from datetime import date

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone

from inventory.forms.prices import StockDayForm
from inventory.queries.prices import price_sheet
from inventory.sheets import price_sheet_rows
from shop.http import SignedInRequest, now, sheet_answer
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def page(request: SignedInRequest) -> HttpResponse:
    """Today's stock, or that of ``?day=``; with a day that cannot be, only the question again."""
    form, day = _asked(request)
    sheet = price_sheet(request.user.establishment, day) if day else None
    return render(request, "inventory/prices/page.html", {"form": form, "sheet": sheet})


@open_to(FRONT_OFFICE, OWNER)
def download(request: SignedInRequest, ending: str) -> HttpResponseBase:
    _, day = _asked(request)
    if day is None:
        raise Http404("no such day")
    return sheet_answer(price_sheet_rows(price_sheet(request.user.establishment, day)), ending)


def _asked(request: SignedInRequest) -> tuple[StockDayForm, date | None]:
    today = timezone.localdate(now())
    if "day" not in request.GET:
        return StockDayForm(initial={"day": today}), today
    form = StockDayForm(request.GET)
    return form, form.chosen() if form.is_valid() else None
