"""Where containers stand, and moves between spots."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from inventory.forms import MoveForm, SpotForm
from inventory.models import Move
from inventory.queries import by_spot, in_the_cabinet, on_the_way, spots
from inventory.services import add_spot, confirm_arrival, move_containers
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, write_once, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    house = request.user.establishment
    containers = in_the_cabinet(house).order_by("refrigerant_id", "place_id")
    context = {
        "spots": spots(house),
        "groups": sorted(by_spot(house, containers).items()),
        "on_the_way": on_the_way(house),
    }
    return render(request, "inventory/moves/list.html", context)


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    house = request.user.establishment
    begin = {"containers": request.GET.get("container", "")[:24]}
    form = MoveForm(request.POST or None, house=house, spots=spots(house), initial=begin)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made = move_containers(form.move(), at=now(), by=request.user)
            said = "is there" if form.move().at_once else "on the way"
            messages.success(request, f"{len(made)} to {made[0].to}: {said}.")
            return reverse("moves:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/moves/new.html", {"form": form, "spots": spots(house)})


@open_to(*EVERYONE)
@require_POST
def arrived(request: SignedInRequest, pk: int) -> HttpResponse:
    rows = Move.objects.filter(container__establishment=request.user.establishment)
    move = get_object_or_404(rows.select_related("to"), pk=pk)

    def write() -> str:
        confirm_arrival(move, at=now(), by=request.user)
        messages.success(request, f"{move.container_id} arrived in {move.to}.")
        return reverse("moves:list")

    try:
        return write_once(request, write)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("moves:list")


@open_to(FRONT_OFFICE, OWNER)
def new_spot(request: SignedInRequest) -> HttpResponse:
    form = SpotForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            house = request.user.establishment
            add_spot(**form.cleaned_data, establishment=house, at=now(), by=request.user)
            return reverse("moves:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/moves/spot.html", {"form": form})
