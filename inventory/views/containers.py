"""One can or cylinder: its life in weigh tickets and movements."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from inventory.core.refrigerants import UNKNOWN
from inventory.forms import WeighForm
from inventory.models import Container
from inventory.queries import (
    air_checks,
    answer_of_check,
    containers,
    cylinder_room,
    gas_in,
    life,
    mark,
    usual_scale,
    where,
)
from inventory.services import weigh_in_cabinet
from shop.core.findings import Finding, Refused
from shop.core.house import HouseRules
from shop.core.mass import grams
from shop.http import SignedInRequest, now, write_once
from shop.models import Equipment
from shop.permissions import EVERYONE, open_to
from shop.queries import in_service, rules_on


def _container(request: SignedInRequest, code: str) -> Container:
    mine = containers(request.user.establishment)
    kin = ("can__type", "cylinder", "fate", "delivered__line__delivery__supplier", "by", "mixed")
    return get_object_or_404(mine.select_related(*kin), pk=code)


@open_to(*EVERYONE)
def page(request: SignedInRequest, code: str) -> HttpResponse:
    container = _container(request, code)
    rules = rules_on(request.user.establishment, timezone.localdate(now()))
    lived = life(container)
    mark(request.user.establishment, lived.tickets)
    shown: dict[str, Any] = {"container": container, "life": lived, "where": where(container)}
    if container.kind == "cylinder":
        shown |= _cylinder(container, rules)
    else:
        shown["is_heel"] = container.book <= grams(rules.heel_limit_g)
    return render(request, "inventory/containers/page.html", shown)


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
