"""Find: one box for a plate, a piece of a VIN, a name, a phone, a can, a lot, a slip, an invoice, a job or a paper."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from compliance.queries.finding import Finds, found
from inventory.core.numbers import scanned_number
from shop.http import SignedInRequest
from shop.permissions import EVERYONE, open_to

LONGEST = 60


@open_to(*EVERYONE)
def find(request: SignedInRequest) -> HttpResponse:
    """Straight to the one thing that holds what was typed; else all of them, each with what tells it apart."""
    typed = " ".join(request.GET.get("q", "").replace("\0", "").split())
    words = (scanned_number(typed) or typed)[:LONGEST]
    finds = found(request.user.establishment, words)
    only = _page_of_the_one(finds)
    return (
        redirect(only) if only else render(request, "compliance/find.html", {"words": words, "finds": finds})
    )


def _page_of_the_one(finds: Finds) -> str:
    """Where the only find is read; nowhere when there are others, or it only comes near to what was typed."""
    if finds.number != 1 or finds.near:
        return ""
    for car in finds.cars:
        return reverse("jobs:page", args=[car.visits[0].number]) if len(car.visits) == 1 else ""
    for visit in finds.jobs:
        return reverse("jobs:page", args=[visit.number])
    for paper in finds.papers:
        return reverse("papers:page", args=[paper.number, paper.version])
    for container in finds.containers:
        return reverse("containers:page", args=[container.code])
    for delivery in finds.deliveries:
        return reverse("deliveries:page", args=[delivery.number])
    return reverse("recall", query={"lot": finds.lots[0].name})
