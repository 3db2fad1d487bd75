"""Today: what is open, what is there, what asks for somebody."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from compliance.queries import closed_jobs, job_sheet, open_jobs
from compliance.queries.attention import asking
from compliance.queries.charge_view import charge_view
from compliance.queries.lines import stage_lines
from inventory.queries import how_far, shelves
from shop.http import SignedInRequest, now
from shop.permissions import EVERYONE, open_to


@open_to(*EVERYONE)
def today(request: SignedInRequest) -> HttpResponse:
    shop, day = request.user.establishment, timezone.localdate(now())
    sheets = [job_sheet(job) for job in open_jobs(shop)[:12]]
    context = {
        "cards": [(sheet.job, stage_lines(sheet), charge_view(sheet)) for sheet in sheets],
        "shelves": shelves(shop),
        "closed": closed_jobs(shop)[:6],
        "asking": asking(shop, day, request.user),
        "day": day,
        "first_day": how_far(shop, day) if request.user.is_owner else None,
    }
    return render(request, "compliance/today.html", context)
