"""Equipment statements: machine by machine, a new one, that it was sent, its proof."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.core.regions import region_of, state_in
from compliance.core.statement import CHECK_ADDRESS, ONE_TIME, THIRTY_DAYS
from compliance.forms.statements import AddressForm, EarlierForm, ProofForm, SentForm, StatementForm
from compliance.models import Document, StatementProof, StatementSent
from compliance.queries.statements import (
    in_service_on,
    machines,
    overview,
    region_addresses,
    role_of_signer,
    statements,
)
from compliance.services.statements import (
    add_proof,
    confirm_address,
    send_statement,
    sign_statement,
    state_earlier,
)
from shop.http import SignedInRequest, now, written
from shop.models import CardImage
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to
from shop.views.cards import HANDED_OUT

WORDS = {"one_time": ONE_TIME, "thirty_days": THIRTY_DAYS, "check_address": CHECK_ADDRESS}


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    """Machine, signed, sent, proof; people on the newest statement against people now."""
    house, today = request.user.establishment, timezone.localdate(now())
    shown = {
        "overview": overview(house, today),
        "today": today,
        "addresses": sorted(region_addresses(house).items()),
        "may_sign": bool(role_of_signer(request.user, today)[0]),
        "none_in_service": not any(in_service_on(one, today) for one in machines(house)),
    }
    return render(request, "compliance/statements/list.html", shown | WORDS)


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    """Draft and sign. Everybody may look; the owner or a responsible officer signs."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    mine = [one for one in machines(house) if in_service_on(one, today)]
    standing = [one.document for one in statements(house) if one.standing]
    role, title = role_of_signer(request.user, today)
    first = {
        "purchaser": house.legal_name,
        "location": house.address,
        "machines": [one.code for one in mine],
        "title": title,
        "reason": request.GET.get("why", "new machine" if standing else "first statement"),
        "replaces": str(standing[0].pk) if standing else "",
    }
    form = StatementForm(request.POST or None, machines=mine, standing=standing, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made = sign_statement(form.statement(), house, on=today, at=at, by=request.user)
            said = _("%(number)s is signed. Print it, mail it, and write down that it was sent.")
            messages.success(request, said % {"number": str(made)})
            return reverse("statements:sent", args=[made.number, made.version])

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "machines": mine, "role": role, "today": today}
    return render(request, "compliance/statements/new.html", shown)


def _statement(request: SignedInRequest, number: str, version: int) -> Document:
    rows = Document.objects.filter(
        establishment=request.user.establishment, kind=Document.Kind.STATEMENT
    ).defer("pdf")
    return get_object_or_404(rows, number=number, version=version)


@open_to(FRONT_OFFICE, OWNER)
def sent(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    """Write down that it was sent; nothing is called sent without a day and a way."""
    document, at = _statement(request, number, version), now()
    house, today = request.user.establishment, timezone.localdate(at)
    region = region_of(state_in(house.address))
    known = region_addresses(house).get(region or 0)
    first = {"on": today, "region": region, "address": known.address if known else ""}
    first["address_confirmed_on"] = known.confirmed_on if known else None
    form = SentForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            send_statement(document, form.sent(), today=today, at=at, by=request.user)
            messages.success(request, _("Written down as sent. Add the proof when it comes."))
            return reverse("statements:list")

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "document": document, "known": known}
    return render(request, "compliance/statements/sent.html", shown | WORDS)


@open_to(FRONT_OFFICE, OWNER)
def proof(request: SignedInRequest, pk: int) -> HttpResponse:
    rows = StatementSent.objects.filter(document__establishment=request.user.establishment)
    one = get_object_or_404(rows.select_related("document"), pk=pk)
    posted = request.method == "POST"
    form = ProofForm(request.POST if posted else None, request.FILES if posted else None)
    if posted and form.is_valid():

        def write() -> str:
            add_proof(one, form.file(), at=now(), by=request.user)
            messages.success(request, _("The proof is on file."))
            return reverse("statements:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/statements/proof.html", {"form": form, "sent": one})


@open_to(FRONT_OFFICE, OWNER)
def show_proof(request: SignedInRequest, pk: int) -> HttpResponse:
    """Hand out a proof as it is kept."""
    rows = StatementProof.objects.filter(sent__document__establishment=request.user.establishment)
    kept = get_object_or_404(rows, pk=pk)
    ending = "jpg" if kept.media == CardImage.Media.JPEG else "pdf"
    name = {"Content-Disposition": f'attachment; filename="statement-proof-{pk}.{ending}"'}
    return HttpResponse(bytes(kept.content), content_type=kept.media, headers=HANDED_OUT | name)


@open_to(OWNER)
def earlier(request: SignedInRequest, code: str) -> HttpResponse:
    """The owner states that one was sent earlier; there is no copy."""
    machine = get_object_or_404(machines(request.user.establishment), code=code)
    form = EarlierForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            state_earlier(machine, form.earlier(), at=now(), by=request.user)
            said = _("%(code)s: kept as your statement, without a copy. A fresh one is a letter away.")
            messages.success(request, said % {"code": machine.code})
            return reverse("statements:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/statements/earlier.html", {"form": form, "machine": machine})


@open_to(OWNER)
def address(request: SignedInRequest) -> HttpResponse:
    """Where a Region takes statements, as the owner read it that day."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    first = {"confirmed_on": today, "region": region_of(state_in(house.address))}
    form = AddressForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            confirm_address(house, **form.confirmed(), today=today, at=at, by=request.user)
            return reverse("statements:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/statements/address.html", {"form": form} | WORDS)
