"""This device: how it looks, whether it is a shared station, and what one signs on with there."""

from __future__ import annotations

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters

from shop.core.findings import Refused
from shop.device import device_frame, keep_cookie
from shop.forms import DeviceForm, LanguageForm, NewPinForm, StationForm
from shop.http import SignedInRequest, now, own_path, show_refusal, write_once
from shop.models import Equipment
from shop.pdf.qr import qr_svg_box, qr_svg_path
from shop.permissions import EVERYONE, by_password, open_to, public
from shop.queries import badge_of, in_service, pin_of, stations
from shop.services import issue_badge, set_language, set_pin

# Speed in bits a second, data bits, parity and stop bits of a scale's line; the first is what most are set to (common
# practice, no source).
SCALE_LINES = (
    *("9600 8N1", "1200 7E1", "2400 7E1", "2400 8N1", "4800 7E1", "4800 8N1", "9600 7E1"),
    *("19200 8N1", "38400 8N1", "57600 8N1", "115200 8N1"),
)


@public
def device(request: HttpRequest) -> HttpResponseBase:
    """Look and thumb side, for anybody; the rest is for people who are signed on."""
    form = DeviceForm(request.POST or None, initial=device_frame(request))
    if request.method == "POST" and form.is_valid():
        response = redirect(own_path(request, reverse("device")))
        for name, word in form.cleaned_data.items():
            keep_cookie(response, name, word)
        if response.url == reverse("device"):
            messages.success(request, _("Kept on this device."))
        return response
    return _page(request, form)


@open_to(*EVERYONE)
def language(request: SignedInRequest) -> HttpResponse:
    """Everybody chooses the language in which the pages speak to them."""
    form = LanguageForm(request.POST or None, initial={"language": request.user.language})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            set_language(form.cleaned_data["language"], at=now(), by=request.user)
            return reverse("device")

        return write_once(request, write)
    return render(request, "shop/device/language.html", {"form": form})


@open_to(*EVERYONE)
@sensitive_post_parameters("pin", "again")
def pin(request: SignedInRequest) -> HttpResponse:
    """Set one's own PIN."""
    if not by_password(request):
        return password_first(request)
    form = NewPinForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            set_pin(form.chosen(), at=now(), by=request.user)
            messages.success(request, _("Your PIN holds from now on, at the shared stations of this shop."))
            return reverse("device")

        try:
            return write_once(request, write)
        except Refused as refused:
            show_refusal(form, refused)
    return render(request, "shop/device/pin.html", {"form": form})


@open_to(*EVERYONE)
def badge(request: SignedInRequest) -> HttpResponse:
    """Make one's own badge. Its code is on this one answer and nowhere else."""
    if not by_password(request):
        return password_first(request)
    made: list[str] = []

    def write() -> str:
        made.append(issue_badge(at=now(), by=request.user)[1])
        return reverse("device")

    answer = write_once(request, write) if request.method == "POST" else None
    if answer is not None and not made:
        return answer
    shown = {"code": made[0], "box": qr_svg_box(made[0]), "path": qr_svg_path(made[0])} if made else {}
    return render(request, "shop/device/badge.html", {"form": Form(), **shown})


def _page(request: HttpRequest, form: DeviceForm) -> HttpResponse:
    shown: dict[str, object] = {"form": form}
    if request.user.is_authenticated:
        person = request.user
        shown |= {"pin": pin_of(person), "badge": badge_of(person), "may_renew": by_password(request)}
        shown |= {"stations": stations(person.establishment), "station_form": StationForm()}
        today = timezone.localdate(now())
        shown["scales"] = in_service(person.establishment, today, Equipment.Kind.SCALE)
        shown["lines"] = SCALE_LINES
    return render(request, "shop/device/page.html", shown)


def password_first(request: HttpRequest) -> HttpResponse:
    sentence = _("Sign on with your password first. A PIN or a badge does not make another one.")
    messages.warning(request, sentence)
    return redirect("device")
