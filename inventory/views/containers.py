"""One can or cylinder: its life in weigh tickets and movements."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from inventory.core.numbers import LONGEST, number_in
from inventory.core.refrigerants import UNKNOWN
from inventory.forms import WeighForm
from inventory.models import Container
from inventory.queries import (
    Life,
    air_checks,
    answer_of_check,
    containers,
    cylinder_room,
    gas_in,
    life,
    usual_scale,
    where,
)
from inventory.services import weigh_in_cabinet
from inventory.services.holds import hold_of
from shop.core.findings import Finding, Refused
from shop.core.house import HouseRules
from shop.core.mass import grams
from shop.http import SignedInRequest, now, write_once
from shop.models import Equipment
from shop.permissions import EVERYONE, open_to
from shop.queries import in_service, rules_on

KIN = (
    "can__type",
    "cylinder",
    "fate__by",
    "disposal__by",
    "delivered__line__delivery__supplier",
    "by",
    "mixed__by",
    "found__by",
    "found__accepted__by",
    "given_back__slip__by",
)
SHOWN = 60  # lines of a life at first; a cylinder has hundreds
FILTERS = (
    ("", _lazy("Everything")),
    ("weights", _lazy("Weigh tickets")),
    ("book", _lazy("Refrigerant book")),
    ("rest", _lazy("Places and papers")),
)


def _container(request: SignedInRequest, code: str) -> Container:
    mine = containers(request.user.establishment)
    return get_object_or_404(mine.select_related(*KIN), pk=code)


@open_to(*EVERYONE)
def known(request: SignedInRequest) -> JsonResponse:
    """Whether there is a container with the number that was scanned or typed, for the page that asks for one."""
    code = number_in(request.GET.get("number", "").replace("\0", "")[:LONGEST])
    there = Container.objects.filter(establishment=request.user.establishment, pk=code).exists()
    strange = _("There is no can or cylinder %(code)s in the book. Read its number again.") % {
        "code": code[:24]
    }
    return JsonResponse({"number": code, "known": there, "says": "" if there else strange})


@open_to(*EVERYONE)
def page(request: SignedInRequest, code: str) -> HttpResponse:
    container = _container(request, code)
    rules = rules_on(request.user.establishment, timezone.localdate(now()))
    lived = life(container)
    shown: dict[str, Any] = {"container": container, "life": lived, "where": where(container)}
    shown |= {"hold": hold_of(container), "filters": FILTERS} | _events(request, lived)
    if container.kind == "cylinder":
        shown |= _cylinder(container, rules)
    else:
        shown["is_heel"] = container.book <= grams(rules.heel_limit_g)
    return render(request, "inventory/containers/page.html", shown)


def _events(request: SignedInRequest, lived: Life) -> dict[str, Any]:
    """The lines of its life that were asked for, newest first."""
    only = request.GET.get("only", "")
    asked = [one for one in reversed(lived.events) if only in ("", one.about)]
    everything = request.GET.get("all") == "yes" or len(asked) <= SHOWN
    more = 0 if everything else len(asked)
    return {"events": asked if everything else asked[:SHOWN], "only": only, "more": more}


def _cylinder(container: Container, rules: HouseRules) -> dict[str, Any]:
    checks = air_checks(container)
    return {
        "room": cylinder_room(container, rules),
        "takes_air_check": gas_in(container) != UNKNOWN,
        "checks": checks,
        "last_check": answer_of_check(checks[0]) if checks else None,
    }


@open_to(*EVERYONE)
def weigh(request: SignedInRequest, code: str) -> HttpResponse:
    """Write a weigh ticket of a container that stands in the cabinet. It moves nothing in the book."""
    container, at = _container(request, code), now()
    scales = in_service(request.user.establishment, timezone.localdate(at), Equipment.Kind.SCALE)
    warnings: list[Finding] = []
    usual = {"scale": usual_scale(request.user.establishment, container.kind)}
    form = WeighForm(request.POST or None, container=container, scales=scales, initial=usual)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            ticket = weigh_in_cabinet(container, form.ticket(), seen=form.answered(), at=at, by=request.user)
            messages.success(request, f"Weigh ticket {ticket.number}: {container.code}, {ticket.reading}.")
            return reverse("containers:page", args=[container.code])

        try:
            return write_once(request, write)
        except Refused as refused:
            warnings = form.ask(refused)
    shown = {"form": form, "container": container, "warnings": warnings}
    return render(request, "inventory/containers/weigh.html", shown)
