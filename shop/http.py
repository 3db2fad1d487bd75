"""What every request and page share: the signed-on person, the shop's clock, the frame, one-time forms."""

from __future__ import annotations

import secrets
import tempfile
import zoneinfo
from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.db import IntegrityError, transaction
from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    HttpResponseRedirect,
    JsonResponse,
    StreamingHttpResponse,
)
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.cache import patch_vary_headers
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext

from shop.backends import station_of
from shop.core.findings import Refused
from shop.core.phrase import in_language
from shop.core.sheet import Sheet, csv_text
from shop.models import Establishment, FormSent, Person
from shop.services.leaving import end_due_sign_ons
from shop.sheets import XLSX, write_xlsx

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self';"
    " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self';"
    " worker-src 'self'"
)
DEVICES = "camera=(self), serial=(self), microphone=(), geolocation=(), usb=(), payment=()"
Answer = TypeVar("Answer")
Respond = Callable[[HttpRequest], HttpResponse]


class SignedInRequest(HttpRequest):
    """A request that passed ``open_to``: its user is one of our people."""

    user: Person


def content_security_policy(get_response: Respond) -> Respond:
    def respond(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers.setdefault("Permissions-Policy", DEVICES)
        return response

    return respond


def shop_time(get_response: Respond) -> Respond:
    """Show every instant in the time zone of the shop, and keep no page of somebody signed on in a browser: going
    back loads the page anew, with a new one-time key, and nobody reads it after sign-off."""

    def respond(request: HttpRequest) -> HttpResponse:
        house = _house_of(request)
        if house is not None:
            timezone.activate(zoneinfo.ZoneInfo(house.time_zone))
        else:
            timezone.deactivate()
        if request.user.is_authenticated and request.user.leaves_on:
            night_has_come(request)
        response = get_response(request)
        if request.user.is_authenticated:
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return respond


def night_has_come(request: HttpRequest) -> None:
    """End the sign-on of everybody whose last day is over, that of this request too."""
    at = now()
    if any(person.pk == request.user.pk for person in end_due_sign_ons(today=timezone.localdate(at), at=at)):
        logout(request)


def size_limit(get_response: Respond) -> Respond:
    """Answer a request that is larger than any of our forms can be before a byte of it is read. A program's request is
    held against a smaller limit, by its address."""

    def respond(request: HttpRequest) -> HttpResponse:
        if "\0" in request.path:
            raise Http404("no address of ours holds a NUL")
        length = request.META.get("CONTENT_LENGTH") or "0"
        large = length.isdecimal() and int(length) > settings.LARGEST_REQUEST
        if large and not request.path.startswith("/api/"):
            return render(request, "413.html", status=413)
        return get_response(request)

    return respond


def own_language(get_response: Respond) -> Respond:
    """Speak the language of the signed-on person; before sign-on the one that the browser asks for."""

    def respond(request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            with translation.override(request.user.language):
                return get_response(request)
        with translation.override(translation.get_language_from_request(request)):
            response = get_response(request)
        patch_vary_headers(response, ["Accept-Language"])
        return response

    return respond


def _house_of(request: HttpRequest) -> Establishment | None:
    """The shop of the signed-on person, else the one where the shared station stands."""
    if request.user.is_authenticated:
        return request.user.establishment
    station = station_of(request)
    return station.establishment if station else None


def page_frame(request: HttpRequest) -> dict[str, Any]:
    """What the base template needs on every page; one fresh one-time key for the page's form."""
    return {
        "practice": settings.PRACTICE,
        "establishment": _house_of(request) or Establishment.objects.order_by("pk").first(),
        "once": request.POST.get("once") or secrets.token_urlsafe(16),
        "clock": timezone.now().isoformat(),  # what a device compares its own with
    }


def own_path(request: HttpRequest, otherwise: str) -> str:
    """Where ``next`` points, if that is a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, require_https=request.is_secure())
    return wanted if ours and wanted.startswith("/") else otherwise


def now() -> datetime:
    """The one place where the clock is read. A practice shop's clock starts at the end of its seeded quarter."""
    return timezone.now() + settings.PRACTICE_OFFSET


def say(text: str) -> str:
    """What core and services said, in the language of the person who reads it."""
    return in_language(text, gettext)


def show_refusal(form: forms.BaseForm, refused: Refused) -> None:
    """Put each finding beside the field it speaks of, or on top of the form."""
    for finding in refused.findings:
        if finding.blocks:
            form.add_error(finding.field if finding.field in form.fields else None, say(finding.message))


def _key(request: HttpRequest) -> str:
    """The form's one-time key, no longer than its column."""
    return request.POST.get("once", "").replace("\0", "")[:64]


def sent_before(request: SignedInRequest) -> HttpResponse | None:
    """The answer that this very form got when it was sent the first time, if it was."""
    sent = FormSent.objects.filter(key=_key(request), by=request.user).first()
    if sent is None:
        return None
    if not _asked_by_script(request):
        messages.info(request, _already_saved(sent))
    return _receipt(request, sent)


def _asked_by_script(request: HttpRequest) -> bool:
    return request.headers.get("Accept") == "application/json"


def _receipt(request: HttpRequest, sent: FormSent) -> HttpResponse:
    """Go where the form leads; a script that sends what waited on a device reads that it was kept instead."""
    if _asked_by_script(request):
        return JsonResponse({"kept": sent.answer})
    return HttpResponseRedirect(sent.answer)


def _already_saved(sent: FormSent) -> str:
    at = timezone.localtime(sent.sent_at + settings.PRACTICE_OFFSET)
    return gettext("Already saved %(time)s; nothing was written twice.") % {"time": f"{at:%H:%M:%S}"}


def private(response: HttpResponse) -> HttpResponse:
    """For pages behind an address that is a secret itself: nobody keeps them, and no page that a reader goes on to
    learns where they came from."""
    response.headers["Cache-Control"] = "no-store"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response


def tried_again(write: Callable[[], Answer]) -> Answer:
    """Run a write in a transaction, and once more where somebody wrote the same at that very moment: what was free
    before is taken now, and the service says so. Raises ``IntegrityError`` when that is not the reason."""
    try:
        with transaction.atomic():
            return write()
    except IntegrityError:
        with transaction.atomic():
            return write()


def write_once(request: SignedInRequest, write: Callable[[], str]) -> HttpResponse:
    """Run one write in a transaction under the form's one-time key and go where it points.

    A double tap, a scanner's extra Enter or a retry after bad signal gets the first answer. ``Refused`` passes
    through with nothing written, so that the same form can be corrected and sent again.
    """
    first = sent_before(request)
    if first is not None:
        return first
    key = _key(request) or secrets.token_urlsafe(16)

    def keep() -> FormSent:
        sent = FormSent.objects.create(key=key, by=request.user, answer="/")
        sent.answer = write()
        sent.save(update_fields=["answer"])
        return sent

    try:
        return _receipt(request, tried_again(keep))
    except IntegrityError:
        first = sent_before(request)
        if first is None:
            raise
        return first


def written(request: SignedInRequest, form: forms.BaseForm, write: Callable[[], str]) -> HttpResponse | None:
    """``write_once`` for a valid form; None when it was refused, with each finding put beside its field."""
    try:
        return write_once(request, write)
    except Refused as refused:
        show_refusal(form, refused)
    return None


def sheet_answer(sheet: Sheet, ending: str) -> HttpResponseBase:
    """A sheet as a file to keep: CSV as it is read, row by row, or a whole XLSX. 404 for another ending."""
    name = f"{sheet.name}-{timezone.localdate(now())}.{ending}"
    if ending == "csv":
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return StreamingHttpResponse(csv_text(sheet), content_type="text/csv; charset=utf-8", headers=headers)
    if ending != "xlsx":
        raise Http404("a sheet is CSV or XLSX")
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
    write_xlsx(sheet, file)
    file.seek(0)
    return FileResponse(file, as_attachment=True, filename=name, content_type=XLSX)
