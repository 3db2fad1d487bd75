"""Sign on, sign off and lock: who is standing here."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from shop.backends import BADGE_TRIES, forget_tries, pin_tries, station_of
from shop.device import STATION, keep_cookie, put_away
from shop.forms import BadgeForm, PinForm, SignOnForm
from shop.http import night_has_come, now, own_path
from shop.models import Person
from shop.permissions import public
from shop.queries import standing_here


@public
@sensitive_post_parameters("password", "badge")
@never_cache
def sign_on(request: HttpRequest) -> HttpResponseBase:
    """Ask who it is: by badge or name at a shared station, else by password."""
    night_has_come(request)
    station = station_of(request)
    if station is None:
        return _by_password(request)
    if request.user.is_authenticated:
        return redirect(own_path(request, settings.LOGIN_REDIRECT_URL))
    form = BadgeForm(request, request.POST or None)
    if request.method == "POST" and form.is_valid() and form.bearer is not None:
        forget_tries(request, BADGE_TRIES)
        return _enter(request, form.bearer, quick=True)
    return _door(request, "shop/stations/sign_on.html", form, people=standing_here(station))


@public
@sensitive_post_parameters("password")
@never_cache
def by_password(request: HttpRequest) -> HttpResponseBase:
    """The same with a password, one link away at a station."""
    night_has_come(request)
    return _by_password(request)


@public
@sensitive_post_parameters("pin")
@never_cache
def by_pin(request: HttpRequest, pk: int) -> HttpResponseBase:
    """The PIN of one person, on a keypad; at their shop's stations only."""
    night_has_come(request)
    station = station_of(request)
    if station is None or request.user.is_authenticated:
        return redirect("sign-on")
    person = get_object_or_404(Person, pk=pk, establishment=station.establishment, is_active=True)
    form = PinForm(request, person, request.POST or None)
    if request.method == "POST" and form.is_valid():
        forget_tries(request, pin_tries(person))
        return _enter(request, person, quick=True)
    return _door(request, "shop/stations/pin.html", form, person=person)


@public
@require_POST
def sign_off(request: HttpRequest) -> HttpResponse:
    """The next person signs on under their own name."""
    logout(request)
    return redirect("sign-on")


@public
@require_POST
def lock(request: HttpRequest) -> HttpResponse:
    """Sign off at a shared station; whoever signs on next lands on the page that was open, under their own name."""
    if request.user.is_authenticated:
        put_away(request, now())
    request.session["kept"] = bool(request.POST.get("kept"))
    return redirect_to_login(own_path(request, reverse("today")))


def _by_password(request: HttpRequest) -> HttpResponseBase:
    """Then go to the page that was wanted, if it is one of ours, else to Today."""
    if request.user.is_authenticated:
        return redirect(own_path(request, settings.LOGIN_REDIRECT_URL))
    form = SignOnForm(request, request.POST or None)
    if request.method == "POST" and form.is_valid():
        return _enter(request, form.get_user())
    return _door(request, "shop/sign_on.html", form)


def _door(request: HttpRequest, template: str, form: object, **shown: object) -> HttpResponse:
    locked = request.session.get("locked_at")
    said = {
        "form": form,
        "next": own_path(request, ""),
        "locked_at": datetime.fromisoformat(locked) if locked else None,
        "kept": request.session.get("kept", False),
        "unsaved": request.session.get("unsaved", False),
    }
    return render(request, template, said | shown)


def _enter(request: HttpRequest, person: Person, *, quick: bool = False) -> HttpResponse:
    """Let them in; at a station its cookie begins its year anew, and a PIN or badge holds for this station alone."""
    station, after = station_of(request), own_path(request, settings.LOGIN_REDIRECT_URL)
    unsaved = request.session.get("unsaved", False)
    for word in ("locked_at", "kept", "unsaved"):
        request.session.pop(word, None)
    login(request, person)
    if unsaved:
        messages.warning(
            request, _("This was not saved: the station had locked. Look at it and keep it again.")
        )
    response = redirect(after)
    if station is not None:
        keep_cookie(response, STATION, request.COOKIES[STATION])
        if quick:
            request.session["station"] = station.pk
    return response
