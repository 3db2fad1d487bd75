"""A new count: what hangs on a car first, then shelf by shelf, kept whenever it is added up or paused."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.queries.waiting import waiting_for_jobs
from compliance.services import count_cabinet
from inventory.core.numbers import number_in
from inventory.forms import (
    CountForm,
    TakenUp,
    answered_in,
    containers_on,
    initial_of,
    stands,
    taken_up,
    typed_of,
)
from inventory.models import CountDraft
from inventory.queries import Shelf, last_count_of, paused_counts, shelves, spot_names, usual_scale
from inventory.services import CountIn, PausedIn, keep_count
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, write_once
from shop.models import Equipment
from shop.permissions import FRONT_OFFICE, OWNER, open_to
from shop.queries import in_service


@dataclass(slots=True)
class _Page:
    """One opening of the page: the shelves it counts, and the paused count that it goes on with."""

    request: SignedInRequest
    at: datetime
    gas: str
    all_shelves: list[Shelf]
    shelves: list[Shelf]
    spots: dict[str, str]
    draft: CountDraft | None
    scanned: str = ""

    @classmethod
    def of(cls, request: SignedInRequest) -> _Page:
        house = request.user.establishment
        everything = shelves(house)
        gas = request.GET.get("refrigerant", "")[:12]
        mine = [shelf for shelf in everything if gas in ("", shelf.refrigerant)]
        draft = paused_counts(house).filter(refrigerant=gas).first()
        return cls(request, now(), gas, everything, mine, spot_names(house), draft)

    @property
    def version(self) -> int:
        typed = self.request.POST.get("version", "")
        return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 9 else 0

    def form(self, data: Any = None, begin: dict[str, Any] | None = None) -> CountForm:
        house = self.request.user.establishment
        usual = {"scale": usual_scale(house, "can"), "cylinder_scale": usual_scale(house, "cylinder")}
        return CountForm(
            data,
            shelves=self.shelves,
            scales=in_service(house, timezone.localdate(self.at), Equipment.Kind.SCALE),
            waiting=waiting_for_jobs(house),
            spots=self.spots,
            initial=usual | (begin or {}),
        )

    def keep(self, form: CountForm, typed: dict[str, Any]) -> None:
        """Keep the count as it stands; raises ``Refused`` when somebody else kept it since."""
        there = containers_on(self.shelves)
        stood = {code: stands(there[code]) for code in answered_in(typed) if code in there}
        paused = PausedIn(self.gas, typed, stood, form.found, form.asked, self.version)
        self.draft = keep_count(paused, self.request.user.establishment, at=self.at, by=self.request.user)


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Count what is in the cabinet today. "Add up" shows what was counted so far and keeps it; signing writes it."""
    page = _Page.of(request)
    if request.method != "POST":
        up = taken_up(page.draft, page.shelves) if page.draft is not None else None
        begin = initial_of(up.typed, page.shelves, page.spots) if up is not None else None
        return _shown(page, page.form(begin=begin), taken_up=up)
    form = page.form(request.POST)
    valid = form.is_valid()
    try:
        return _done(page, form, request.POST.get("do", ""), valid)
    except Refused as refused:
        show_refusal(form, refused)
    return _shown(page, form)


def _done(page: _Page, form: CountForm, do: str, valid: bool) -> HttpResponse:
    request = page.request
    if do == "scan":
        return _scanned(page, form)
    if do == "sign" and valid and form.is_whole():
        return write_once(request, lambda: _signed(page, form))
    page.keep(form, typed_of(form))
    if do == "pause":
        assert page.draft is not None  # noqa: S101 - it was kept a line ago
        said = {"what": page.draft.title, "found": page.draft.found, "asked": page.draft.asked}
        words = _(
            "Count of %(what)s paused, %(found)s of %(asked)s found. Anybody in the office goes on with it."
        )
        messages.success(request, words % said)
        return write_once(request, lambda: reverse("cabinet"))
    return _shown(page, form, added_up=valid)


def _signed(page: _Page, form: CountForm) -> str:
    request, house = page.request, page.request.user.establishment
    page.keep(
        form, typed_of(form)
    )  # refuses to sign past what somebody else kept meanwhile; signing throws it away
    count = CountIn(timezone.localdate(page.at), form.answers(), form.left_out(), page.gas)
    made = count_cabinet(count, house, at=page.at, by=request.user)
    messages.success(request, _("The count is signed. Differences are booked as differences."))
    return reverse("counts:page", args=[made.pk])


def _scanned(page: _Page, form: CountForm) -> HttpResponse:
    """A number that was scanned or typed: a sealed can is ticked, anything else is gone to."""
    typed, code = typed_of(form), number_in(page.request.POST.get("scan", "")[:200])
    sealed = {can.code for lot in form.lots for can in lot.cans}
    if code in sealed:
        typed["here"] = sorted({*typed["here"], code})
        messages.success(page.request, _("%(code)s is ticked.") % {"code": code})
    elif code in form.fields or f"moving_{code}" in form.fields:
        page.scanned = code
    else:
        messages.warning(page.request, _not_here(page, code))
    page.keep(form, typed)
    again = page.form(begin=initial_of(typed, page.shelves, page.spots))
    if page.scanned in again.fields:
        again.fields[page.scanned].widget.attrs["autofocus"] = True
    return _shown(page, again)


def _not_here(page: _Page, code: str) -> str:
    other = next((s.refrigerant for s in page.all_shelves if code in containers_on([s])), "")
    if other and other != page.gas and page.gas:
        words = _("%(code)s is %(other)s; this is the count of %(gas)s. Put it where it belongs.")
        return words % {"code": code, "other": other, "gas": page.gas}
    return _("%(code)s is not among what this count asks for. Read the number again.") % {"code": code[:24]}


def _shown(
    page: _Page, form: CountForm, *, added_up: bool = False, taken_up: TakenUp | None = None
) -> HttpResponse:
    house = page.request.user.establishment
    gases = [shelf.refrigerant for shelf in page.all_shelves]
    paused = {draft.refrigerant: draft for draft in paused_counts(house)}
    openings = [(shelf.refrigerant, last_count_of(house, shelf.refrigerant)) for shelf in page.shelves]
    shown = {
        "form": form,
        "added_up": added_up,
        "taken_up": taken_up,
        "draft": page.draft,
        "gas": page.gas,
        "choices": [(gas, paused.get(gas)) for gas in ("", *gases)] if len(gases) > 1 or paused else [],
        "openings": [(gas, last) for gas, last in openings if last is not None],
        "scanned": page.scanned,
    }
    return render(page.request, "compliance/counts/new.html", shown)
