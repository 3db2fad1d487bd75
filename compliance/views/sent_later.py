"""A form that waited on a device: written once, at the time it was typed as far as that can be true."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import wraps
from typing import Any, TypeVar

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse, HttpResponseBase
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from compliance.forms.waiting import LONGEST_VALUE, MOST_FIELDS, as_typed
from compliance.models import CanTicket, Job, Stage
from compliance.services import SpareIn, keep_second_entry
from compliance.services.waiting import keep_sent_later, newest, settle_for
from inventory.models import Container
from shop.core.phrase import phrase
from shop.core.said import ahead_of, instant_of
from shop.http import SignedInRequest, now, sent_before
from shop.permissions import FRONT_OFFICE

COPY_FOR = (
    "Tarebook-Copy-For"  # the header that lets the device of this person keep a copy of an open job's page
)
# what stands in a form beside what was typed
NOT_TYPED = {
    *("csrfmiddlewaretoken", "once", "later", "clock", "seen"),
    *("waits", "looked", "says", "said_at", "said_ahead"),
}
Response = TypeVar("Response", bound=HttpResponseBase)


def device_may_keep(request: SignedInRequest, response: Response) -> Response:
    """Let the device of who works at the car keep a copy of an open job's page, for when there is no signal. Copies are
    those of a person in a language; with either the others go."""
    if request.user.role != FRONT_OFFICE:
        response.headers[COPY_FOR] = f"{request.user.pk} {get_language()}"
    return response


def told_once(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A form that was written already gets its first answer before anything in it is read: the device may still hold it
    as it stood before it was put right, and the job may be closed since."""

    @wraps(view)
    def answer(request: SignedInRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        first = sent_before(request) if request.method == "POST" else None
        return first or view(request, *args, **kwargs)

    return answer


def at_its_time(
    request: SignedInRequest, job: Job, write: Callable[[datetime], str], *, can: Container | None = None
) -> str:
    """Write at the instant that counts, and keep beside it what the device said of it. A form that did not wait is
    written now."""
    received, since = now(), newest(job)
    if "said_at" not in request.POST:
        return write(received)
    if request.POST.get("waits") != str(request.user.pk):
        raise PermissionDenied(_("Somebody else typed this. It is sent when they sign on."))
    typed_at, ahead = said_by_device(request)
    said = settle_for(job, typed_at, ahead, can=can, received=received)
    answer = write(said.at)
    keep_sent_later(job, said, since=since, at=received, by=request.user)
    return answer


def said_by_device(request: SignedInRequest) -> tuple[datetime | None, timedelta | None]:
    """When a form was typed by the device's clock, and how far that clock was ahead; on the shop's own clock."""
    typed_at = instant_of(request.POST.get("said_at", "")[:40])
    try:
        shown = None if typed_at is None else typed_at + settings.PRACTICE_OFFSET
    except OverflowError:
        shown = None
    return shown, ahead_of(request.POST.get("said_ahead", "")[:20])


def keep_beside(request: SignedInRequest, job: Job, first: Stage | CanTicket) -> str:
    """Somebody else wrote the same meanwhile: keep this entry as it was typed, for the person at the car to choose."""
    typed_at, ahead = said_by_device(request)
    pairs = [(name, value[:LONGEST_VALUE]) for name in request.POST for value in request.POST.getlist(name)]
    typed = as_typed([pair for pair in pairs if pair[0] not in NOT_TYPED][:MOST_FIELDS])
    says = request.POST.get("says", "").replace("\0", "") or ", ".join(str(one) for one in typed.values())
    why = phrase("{name} wrote the same meanwhile.", name=first.by.first_name)
    keep_second_entry(
        job,
        SpareIn(request.path[:200], typed, says[:300], why, typed_at, ahead),
        first,
        at=now(),
        by=request.user,
    )
    messages.warning(request, _("Two phones wrote this down. Both are kept: choose below which is true."))
    return reverse("jobs:page", args=[job.number])
