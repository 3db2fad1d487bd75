"""Equipment: nameplates as transcribed, and the dated checks of each piece."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from shop.core.mass import Unit
from shop.forms import CheckForm, EquipmentForm, RetireForm, ScaleCheckForm
from shop.http import SignedInRequest, now, written
from shop.models import Equipment
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to
from shop.queries import equipment, known_weight
from shop.services import add_equipment, log_check, retire_equipment


def _page_of(piece: Equipment) -> str:
    return reverse("equipment:page", args=[piece.code])


def _piece(request: SignedInRequest, code: str) -> Equipment:
    return get_object_or_404(equipment(request.user.establishment), code=code)


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    pieces = list(equipment(request.user.establishment))
    in_use = [piece for piece in pieces if not hasattr(piece, "retirement")]
    gone = [piece for piece in pieces if hasattr(piece, "retirement")]
    return render(request, "shop/equipment/list.html", {"in_use": in_use, "gone": gone})


@open_to(*EVERYONE)
def page(request: SignedInRequest, code: str) -> HttpResponse:
    return render(request, "shop/equipment/page.html", {"piece": _piece(request, code)})


@open_to(OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    at = now()
    form = EquipmentForm(request.POST or None, initial={"in_service_on": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            house, today = request.user.establishment, timezone.localdate(at)
            piece = add_equipment(form.equipment(), house, today=today, at=at, by=request.user)
            messages.success(request, f"{piece.code} is on file.")
            return _page_of(piece)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/equipment/new.html", {"form": form})


@open_to(TECHNICIAN, OWNER)
def check(request: SignedInRequest, code: str) -> HttpResponse:
    """Log a check; a scale is checked with a known weight."""
    piece, at = _piece(request, code), now()
    form = _check_form(request, piece)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            logged = log_check(piece, form.check(), today=timezone.localdate(at), at=at, by=request.user)
            if piece.kind != Equipment.Kind.SCALE:
                messages.success(
                    request, f"Check of {piece.code}: {'passed' if logged.passed else 'did not pass'}."
                )
                return _page_of(piece)
            off = f"{logged.error.rounded(Unit.G, 1):+}".replace("-", "−")
            within = f"one division is {piece.division_text} {piece.unit}"
            if logged.passed:
                messages.success(request, f"{piece.code} passed: off by {off} g; {within} either way.")
                return _page_of(piece)
            messages.warning(request, f"{piece.code} did not pass: off by {off} g; {within} either way.")
            return reverse("doubt", args=[logged.pk])

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/equipment/check.html", {"form": form, "piece": piece})


def _check_form(request: SignedInRequest, piece: Equipment) -> CheckForm | ScaleCheckForm:
    typed, today = request.POST or None, {"on": timezone.localdate(now())}
    if piece.kind == Equipment.Kind.SCALE:
        return ScaleCheckForm(typed, scale=piece, initial=known_weight(piece) | today)
    return CheckForm(typed, initial=today)


@open_to(OWNER)
def retire(request: SignedInRequest, code: str) -> HttpResponse:
    """Take a piece out of service."""
    piece, at = _piece(request, code), now()
    form = RetireForm(request.POST or None, initial={"last_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            retire_equipment(piece, **form.retirement(), at=at, by=request.user)
            messages.success(request, f"{piece.code} is out of service. Its rows stay.")
            return _page_of(piece)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/equipment/retire.html", {"form": form, "piece": piece})
