"""The maker's table of the car on a job: type it, type it again, take it back."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.forms import MakersTableForm, TakeBackForm
from compliance.models import MakerTable
from compliance.queries.makers_tables import table_typed, tables_held
from compliance.services import record_makers_table, take_back_makers_table
from compliance.views.jobs import job_of
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, TECHNICIAN, open_to


@open_to(TECHNICIAN, OWNER)
def makers_table(request: SignedInRequest, number: str) -> HttpResponse:
    """Keep what was typed; "More rows" only gives more of them, with what was typed in the others."""
    job = job_of(request, number)
    held, more = tables_held(job.vehicle), "more" in request.POST
    again = next((one for one in held if str(one.pk) == request.GET.get("again")), None)
    typed = table_typed(again) if again is not None else None
    form = MakersTableForm(request.POST if request.method == "POST" else None, typed=typed, more=more)
    if request.method == "POST" and not more and form.is_valid():

        def write() -> str:
            record_makers_table(job.vehicle, form.table(), at=now(), by=request.user)
            messages.success(request, _("The maker's table is kept for this car."))
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    tables = [(one, table_typed(one)) for one in held]
    context = {"form": form, "job": job, "tables": tables, "again": again}
    return render(request, "compliance/jobs/makers_table.html", context)


@open_to(TECHNICIAN, OWNER)
def take_back(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    job = job_of(request, number)
    table = get_object_or_404(
        MakerTable.objects.select_related("by"), pk=pk, vehicle=job.vehicle, taken_back=None
    )
    form = TakeBackForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            take_back_makers_table(table, why=form.cleaned_data["why"], at=now(), by=request.user)
            messages.success(request, _("The table holds no more; it stays readable in the records."))
            return reverse("jobs:makers-table", args=[number])

        if answer := written(request, form, write):
            return answer
    context = {"form": form, "job": job, "table": table, "typed": table_typed(table)}
    return render(request, "compliance/jobs/take_back_table.html", context)
