"""Find: one box for a number, a plate, a VIN or a name."""

from __future__ import annotations

from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from compliance.models import Document, Job
from inventory.models import Container, Delivery
from shop.http import SignedInRequest
from shop.models import Establishment
from shop.permissions import EVERYONE, open_to


@open_to(*EVERYONE)
def find(request: SignedInRequest) -> HttpResponse:
    words = " ".join(request.GET.get("q", "").replace("\0", "").split())[:60]
    hits = _hits(request.user.establishment, words) if len(words) >= 2 else []
    if len(hits) == 1:
        return redirect(hits[0][0])
    return render(request, "compliance/find.html", {"words": words, "hits": hits})


def _hits(shop: Establishment, words: str) -> list[tuple[str, str]]:
    """(address, what it is), at most twenty of each kind."""
    jobs = Job.objects.at_shop(shop).filter(
        Q(number__icontains=words)
        | Q(vehicle__vin__icontains=words)
        | Q(vehicle__plate__icontains=words)
        | Q(stages__checkin__customer__icontains=words)
    )
    papers = Document.objects.filter(establishment=shop, number__icontains=words, replaced_by=None)
    cans = Container.objects.filter(establishment=shop).filter(
        Q(place__code__icontains=words) | Q(lot__iexact=words) | Q(lots__lot__iexact=words)
    )
    slips = Delivery.objects.filter(establishment=shop).filter(
        Q(number__icontains=words)
        | Q(slip__icontains=words)
        | Q(other_slips__slip__icontains=words)
        | Q(invoices__number__icontains=words)
        | Q(return_slips__number__icontains=words)
    )
    return [
        *(
            (reverse("jobs:page", args=[job.number]), f"Job {job.number}, {job.vehicle}")
            for job in jobs.distinct()[:20]
        ),
        *(
            (
                reverse("papers:page", args=[paper.number, paper.version]),
                f"{paper.get_kind_display()} {paper}",
            )
            for paper in papers.defer("pdf", "facts")[:20]
        ),
        *(
            (
                reverse("containers:page", args=[can.code]),
                f"{can.kind.capitalize()} {can.code}, {can.refrigerant_id}",
            )
            for can in cans.distinct()[:20]
        ),
        *(
            (reverse("deliveries:page", args=[slip.number]), f"Delivery {slip.number}, slip {slip.slip}")
            for slip in slips.distinct()[:20]
        ),
    ]
