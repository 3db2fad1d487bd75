"""Sums without a job: one page each, filled in by its address. They read the shop's rules and write nothing."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from compliance.forms.sums import SUMS
from shop.core.cautions import DEFER
from shop.core.conditions import conditions
from shop.http import SignedInRequest, now
from shop.permissions import OWNER, TECHNICIAN, open_to
from shop.queries import rules_on


@open_to(TECHNICIAN, OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    return render(request, "compliance/sums/list.html", {"sums": SUMS.values()})


@open_to(TECHNICIAN, OWNER)
def page(request: SignedInRequest, name: str) -> HttpResponse:
    form_class = SUMS.get(name)
    if form_class is None:
        raise Http404
    shop = request.user.establishment
    rules = rules_on(shop, timezone.localdate(now()))
    here = conditions(rules)
    form = form_class(request.GET or None, shop=shop, rules=rules, here=here)
    answer = form.answer() if form.is_valid() else None
    context = {
        "form": form,
        "answer": answer,
        "air": here.air_said,
        "cautions": form.cautions,
        "defer": DEFER,
    }
    return render(request, "compliance/sums/page.html", context)
