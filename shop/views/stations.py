"""Shared stations: the owner makes one out of the device in hand, and takes one away."""

from __future__ import annotations

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from shop.backends import station_of
from shop.core.findings import Refused
from shop.device import STATION, keep_cookie
from shop.forms import StationForm
from shop.http import SignedInRequest, now, show_refusal, write_once
from shop.permissions import OWNER, by_password, open_to
from shop.queries import stations
from shop.services import end_station, make_station
from shop.views.device import password_first


@open_to(OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Make this device a shared station. Its cookie goes to the browser that asked, once."""
    if not by_password(request):
        return password_first(request)
    here = station_of(request)
    if here is not None:
        messages.info(request, _("This device is the shared station %s already.") % here.name)
        return redirect("device")
    form, tokens = StationForm(request.POST or None), list[str]()
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            name, house = form.cleaned_data["name"], request.user.establishment
            station, token = make_station(name, house, at=now(), by=request.user)
            tokens.append(token)
            messages.success(request, _("This device is the shared station %s now.") % station.name)
            return reverse("device")

        try:
            response = write_once(request, write)
        except Refused as refused:
            show_refusal(form, refused)
        else:
            request.session.pop("seen", None)  # from an earlier time as a station
            for token in tokens:
                keep_cookie(response, STATION, token)
            return response
    return render(request, "shop/stations/new.html", {"form": form})


@open_to(OWNER)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    """Take a station away, from whichever device the owner has in hand."""
    station = get_object_or_404(stations(request.user.establishment), pk=pk)
    form = Form(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_station(station, at=now(), by=request.user)
            messages.success(request, _("%s is no shared station any more.") % station.name)
            return reverse("device")

        try:
            return write_once(request, write)
        except Refused as refused:
            show_refusal(form, refused)
    return render(request, "shop/stations/end.html", {"form": form, "ending": station})
