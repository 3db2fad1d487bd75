"""Programs: which hold a key of yours, a new one, and taking one back."""

from __future__ import annotations

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from shop.core.findings import Refused
from shop.forms.programs import ROLE_NAMES, ProgramForm, may
from shop.http import SignedInRequest, now, private, show_refusal, write_once, written
from shop.permissions import EVERYONE, by_password, open_to
from shop.queries import program_keys
from shop.services import end_program_key, make_program_key
from shop.views.device import password_first


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    keys = [(key, ROLE_NAMES[key.as_role], may(key)) for key in program_keys(request.user)]
    return render(request, "shop/programs/list.html", {"keys": keys, "at": now()})


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    """Make a key for a program that writes in one's own name. The key is on this one answer and nowhere else."""
    if not by_password(request):
        return password_first(request)
    form = ProgramForm(request.POST or None, person=request.user)
    made: list[str] = []
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made.append(make_program_key(form.said(), at=now(), by=request.user)[1])
            return reverse("programs:list")

        try:
            answer = write_once(request, write)
        except Refused as refused:
            show_refusal(form, refused)
        else:
            if not made:
                return answer
    page = render(request, "shop/programs/new.html", {"form": form, "key": made[0] if made else ""})
    return private(page) if made else page


@open_to(*EVERYONE)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    """Take a key back, from whichever device is in hand."""
    key = get_object_or_404(program_keys(request.user), pk=pk)
    form = Form(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_program_key(key, at=now(), by=request.user)
            messages.success(request, _("%s has no key any more.") % key.name)
            return reverse("programs:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/programs/end.html", {"form": form, "ending": key})
