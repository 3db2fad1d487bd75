"""What a visitor's pass opens: the tabs of the binder for its days and the certificates of their jobs, to read only.

It has nothing to do with signing on: the code lies in a cookie of its own, and only these few views look at it.
"""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import Any, cast

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from compliance.core.binder import binder, binder_tabs
from compliance.models import Document, VisitPass
from compliance.queries.binder import binder_facts
from compliance.queries.papers import as_paper
from compliance.queries.trails import pass_runs, pass_with
from compliance.services.visits import note_shown
from shop.core.period import Period
from shop.device import keep_cookie
from shop.http import now, private

COOKIE = "visitor"


def for_visitors(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Let in whoever holds a pass that runs, and nobody else; whoever is signed on gains nothing by it."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        visit_pass = pass_with(request.COOKIES.get(COOKIE, ""))
        if visit_pass is None or not pass_runs(visit_pass, now()):
            return _over(request)
        with timezone.override(zoneinfo.ZoneInfo(visit_pass.visit.establishment.time_zone)):
            return private(view(request, visit_pass, *args, **kwargs))

    cast(Any, guarded).roles = frozenset()
    cast(Any, guarded).for_visitors = True
    return guarded


def enter(request: HttpRequest, code: str) -> HttpResponse:
    """The address of a pass: keep its code in this browser and go on."""
    visit_pass = pass_with(code)
    if visit_pass is None or not pass_runs(visit_pass, now()):
        return _over(request)
    response = redirect("visitor:home")
    keep_cookie(response, COOKIE, code)
    return private(response)


cast(Any, enter).roles = frozenset()
cast(Any, enter).for_visitors = True


@for_visitors
@require_safe
def home(request: HttpRequest, visit_pass: VisitPass) -> HttpResponse:
    facts = _facts(visit_pass)
    context = {
        "tabs": binder_tabs(facts),
        "house": visit_pass.visit.establishment,
        "first": visit_pass.first,
        "last": visit_pass.last,
        "until": visit_pass.until,
    }
    _seen(request, visit_pass, "List of records")
    return render(request, "compliance/visitor/home.html", context)


@for_visitors
@require_safe
def tab(request: HttpRequest, visit_pass: VisitPass, key: str) -> HttpResponse:
    facts = _facts(visit_pass)
    chosen = next((one for one in binder_tabs(facts) if one.key == key), None)
    if chosen is None:
        raise Http404("no such tab")
    _seen(request, visit_pass, str(chosen.title))
    certificates = _certificates(visit_pass) if key == "jobs" else []
    paper = replace(binder(facts), title=chosen.title, blocks=chosen.blocks, state="")
    context = {"tab": chosen, "paper": paper, "certificates": certificates}
    return render(request, "compliance/visitor/tab.html", context)


@for_visitors
@require_safe
def certificate(request: HttpRequest, visit_pass: VisitPass, number: str) -> HttpResponse:
    document = next((one for one in _certificates(visit_pass) if one.number == number), None)
    if document is None:
        raise Http404("no certificate of these days")
    _seen(request, visit_pass, str(document))
    return render(request, "compliance/visitor/certificate.html", {"paper": as_paper(document)})


def _certificates(visit_pass: VisitPass) -> list[Document]:
    """The newest certificate of each job that was closed for a day of the pass; none that was cleared."""
    rows = Document.objects.filter(
        establishment=visit_pass.visit.establishment_id,
        certificate__closing__on__range=(visit_pass.first, visit_pass.last),
        replaced_by=None,
        withdrawal=None,
    )
    return list(rows.exclude(pdf=b"").defer("pdf").order_by("pk"))


def _facts(visit_pass: VisitPass) -> Any:
    house, period = visit_pass.visit.establishment, Period(visit_pass.first, visit_pass.last)
    return binder_facts(house, period, at=now(), by=visit_pass.by)


def _seen(request: HttpRequest, visit_pass: VisitPass, what: str) -> None:
    note_shown(visit_pass.visit, what, address=request.path, by_pass=True, at=now(), by=visit_pass.by)


def _over(request: HttpRequest) -> HttpResponse:
    response = render(request, "compliance/visitor/over.html", {"over": True}, status=403)
    response.delete_cookie(COOKIE)
    return private(response)
