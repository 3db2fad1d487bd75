"""What this browser is: its look, the side of the thumb, and whether it is a shared station that has locked.

A locked station has signed its person off on the server; nothing more is remembered than when it locked, and that
something sent just then was not saved.
"""

from __future__ import annotations

import zoneinfo
from datetime import UTC, datetime, timedelta
from typing import Any, cast

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.urls import Resolver404, resolve
from django.utils import timezone

from shop.backends import station_of
from shop.http import Respond, now
from shop.models import Station
from shop.queries import rules_on, station_of_token

STATION, LOOK, THUMB = "station", "look", "thumb"  # the cookies
LOOKS, SIDES = ("device", "dark", "bright"), ("right", "left")
YEAR = timedelta(days=365)
EARLIER = timedelta(seconds=5)  # the page's own script locks first, to keep what was typed


def keep_cookie(response: HttpResponseBase, name: str, value: str) -> None:
    """Keep a word in this browser for a year, out of reach of scripts."""
    response.set_cookie(name, value, max_age=YEAR, httponly=True, samesite="Lax", secure=settings.SECURE)


def shared_station(get_response: Respond) -> Respond:
    """Know a shared station by its cookie, and lock it when nothing was asked of it for as long as the rule says."""

    def respond(request: HttpRequest) -> HttpResponse:
        station = station_of_token(request.COOKIES.get(STATION, ""))
        cast(Any, request).station = station
        _sign_off_when_due(request, station)
        if station is not None and not request.user.is_authenticated and _asks_for_somebody(request):
            return _to_sign_on(request)
        response = get_response(request)
        if station is not None and request.user.is_authenticated:
            request.session["seen"] = now().timestamp()
        return response

    return respond


def device_frame(request: HttpRequest) -> dict[str, Any]:
    """What the base template asks about this browser."""
    station = station_of(request)
    look, thumb = request.COOKIES.get(LOOK, ""), request.COOKIES.get(THUMB, "")
    return {
        "station": station,
        "look": look if look in LOOKS else "device",
        "thumb": thumb if thumb in SIDES else "right",
        "lock_seconds": int((lock_after(station) - EARLIER).total_seconds()) if station else 0,
    }


def lock_after(station: Station) -> timedelta:
    """How long the station waits for the next request, by the shop's rule of today."""
    house = station.establishment
    today = timezone.localdate(now(), zoneinfo.ZoneInfo(house.time_zone))
    return timedelta(minutes=float(rules_on(house, today).lock_minutes))


def put_away(request: HttpRequest, at: datetime) -> None:
    """Sign the person off and remember when, for the sign-on page to say."""
    logout(request)
    request.session["locked_at"] = at.isoformat()


def _sign_off_when_due(request: HttpRequest, station: Station | None) -> None:
    if not request.user.is_authenticated:
        return
    signed_on_at = request.session.get("station")
    if signed_on_at is not None and (station is None or station.pk != signed_on_at):
        logout(request)  # by PIN or badge, and the station has been taken away
    elif station is not None and "seen" in request.session:
        due = datetime.fromtimestamp(request.session["seen"], UTC) + lock_after(station)
        if now() >= due:
            put_away(request, due)


def _asks_for_somebody(request: HttpRequest) -> bool:
    """Whether the page is one for people who are signed on; the API answers for itself."""
    try:
        view = resolve(request.path_info).func
    except Resolver404:
        return False
    return bool(getattr(view, "roles", None))


def _to_sign_on(request: HttpRequest) -> HttpResponse:
    """Whoever signs on next sees the same page; every page that takes a form also shows it."""
    if request.method in ("GET", "HEAD"):
        return redirect_to_login(request.get_full_path())
    request.session["unsaved"] = True
    return redirect_to_login(request.path)
