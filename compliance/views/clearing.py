"""Clearing old records, step by step: ask with the archive at hand, confirm, bring back, clear. Each step is pressed
by the owner."""

from __future__ import annotations

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from compliance.core.clearing import UNDO_DAYS, undo_until
from compliance.forms.clearing import AskForm, ClearForm, ConfirmForm, UndoForm
from compliance.models import Clearing, Package
from compliance.queries.cleared import clearings, going, is_due, step_of, still_to_go, too_soon_for
from compliance.queries.clearing import details_of, plan
from compliance.services import ask_to_clear, clear_now, confirm_clearing, go_on, undo_clearing
from compliance.services.clearing import Cleared
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, by_password, open_to

SHOWN = 200  # jobs one by one; the sheet has all of them
Write = Callable[[], str]


@open_to(OWNER)
def ask(request: SignedInRequest, pk: int) -> HttpResponse:
    """Which jobs and which details of an archive would go, what stays and why; and the request itself."""
    house, at = request.user.establishment, now()
    archives = Package.objects.filter(establishment=house, kind=Package.Kind.ARCHIVE).select_related("by")
    archive, today = get_object_or_404(archives, pk=pk), timezone.localdate(at)
    form = AskForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and (turned := _by_pin(request)):
        return turned
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            clearing = ask_to_clear(house, form.ask(archive), today=today, at=at, by=request.user)
            messages.success(request, _("Asked. Nothing is hidden yet."))
            return reverse("old:clearing", args=[clearing.pk])

        if answer := written(request, form, write):
            return answer
    planned = plan(house, archive, today)
    shown = {
        "form": form,
        "archive": archive,
        "goes": planned.goes[:SHOWN],
        "more": max(len(planned.goes) - SHOWN, 0),
        "stays": planned.stays[:SHOWN],
        "stays_more": max(len(planned.stays) - SHOWN, 0),
        "details": details_of(one.pk for one in planned.goes),
    }
    return render(request, "compliance/old/ask.html", shown)


@open_to(OWNER)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    clearing, at = _clearing(request, pk), now()
    today = timezone.localdate(at)
    if request.method == "POST":
        if turned := _by_pin(request):
            return turned
        go_on(clearing, at=at, by=request.user)
        return redirect("old:clearing", clearing.pk)
    jobs = list(going(clearing).values_list("number", flat=True))
    shown = {
        "clearing": clearing,
        "step": step_of(clearing),
        "due": is_due(clearing, today),
        "rest": still_to_go(clearing).count(),
        "too_soon": too_soon_for(clearing, request.user, at=at, today=today),
        "jobs": jobs[:SHOWN],
        "count": len(jobs),
        "more": max(len(jobs) - SHOWN, 0),
        "left_out": clearing.left_out.select_related("job", "by")[:SHOWN],
    }
    return render(request, "compliance/old/clearing.html", shown)


@open_to(OWNER)
def confirm(request: SignedInRequest, pk: int) -> HttpResponse:
    clearing, at = _clearing(request, pk), now()
    today = timezone.localdate(at)
    form = ConfirmForm(request.POST or None)

    def write() -> str:
        done = confirm_clearing(clearing, today=today, at=at, by=request.user)
        messages.success(request, _put_away(done))
        return _page_of(clearing)

    mine = [job.pk for job in going(clearing)] if step_of(clearing) == "asked" else []
    stays = dict(plan(clearing.establishment, clearing.archive, today).stays) if mine else {}
    numbers = going(clearing).values_list("number", flat=True)
    shown = {
        "details": details_of(mine),
        "until": undo_until(today),
        "days": UNDO_DAYS,
        "dropping": [(number, stays[number]) for number in numbers if number in stays],
        "too_soon": too_soon_for(clearing, request.user, at=at, today=today),
    }
    return _step(request, clearing, "asked", form, write, "confirm", shown)


@open_to(OWNER)
def undo(request: SignedInRequest, pk: int) -> HttpResponse:
    clearing, at = _clearing(request, pk), now()
    form = UndoForm(request.POST or None)

    def write() -> str:
        why = form.cleaned_data["why"]
        undo_clearing(clearing, why=why, today=timezone.localdate(at), at=at, by=request.user)
        messages.success(request, _("It is called off. Every detail stands where it stood."))
        return _page_of(clearing)

    step = step_of(clearing)
    return _step(request, clearing, step if step == "asked" else "put away", form, write, "undo")


@open_to(OWNER)
def clear(request: SignedInRequest, pk: int) -> HttpResponse:
    clearing, at = _clearing(request, pk), now()
    today = timezone.localdate(at)
    form = ClearForm(request.POST or None)

    def write() -> str:
        messages.success(request, _gone(clear_now(clearing, today=today, at=at, by=request.user)))
        return _page_of(clearing)

    jobs = list(going(clearing).values_list("pk", flat=True))
    shown = {"details": details_of(jobs), "due": is_due(clearing, today)}
    return _step(request, clearing, "put away", form, write, "clear", shown)


def _step(
    request: SignedInRequest,
    clearing: Clearing,
    asks_for: str,
    form: forms.Form,
    write: Write,
    name: str,
    more: dict[str, object] | None = None,
) -> HttpResponse:
    """One step's page, while the clearing stands where the step begins; else the clearing says how it stands."""
    if request.method == "POST" and (turned := _by_pin(request)):
        return turned
    if request.method == "POST" and form.is_valid() and (answer := written(request, form, write)):
        go_on(_clearing(request, clearing.pk), at=now(), by=request.user)
        return answer
    if step_of(clearing) != asks_for and request.method != "POST":
        return redirect("old:clearing", clearing.pk)
    shown = {"clearing": clearing, "form": form, "step": step_of(clearing)} | (more or {})
    return render(request, f"compliance/old/{name}.html", shown)


def _by_pin(request: SignedInRequest) -> HttpResponse | None:
    if by_password(request):
        return None
    messages.warning(request, _("Sign on with your password first: this takes customers' details away."))
    return redirect("old:list")


def _clearing(request: SignedInRequest, pk: int) -> Clearing:
    rows = clearings(request.user.establishment).select_related("establishment")
    return get_object_or_404(rows, pk=pk)


def _page_of(clearing: Clearing) -> str:
    return reverse("old:clearing", args=[clearing.pk])


def _put_away(done: Cleared) -> str:
    said = ngettext(
        "The details of %(jobs)d job are put away.", "The details of %(jobs)d jobs are put away.", done.jobs
    )
    return f"{said % {'jobs': done.jobs}} {_dropped(done)}".strip()


def _gone(done: Cleared) -> str:
    said = ngettext(
        "The details of %(jobs)d job are cleared for good.",
        "The details of %(jobs)d jobs are cleared for good.",
        done.jobs,
    )
    return f"{said % {'jobs': done.jobs}} {_dropped(done)}".strip()


def _dropped(done: Cleared) -> str:
    if not done.dropped:
        return ""
    said = ngettext(
        "%(count)d job dropped out; see below why.",
        "%(count)d jobs dropped out; see below why.",
        done.dropped,
    )
    return said % {"count": done.dropped}
