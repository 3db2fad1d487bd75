"""Kinds of can: what is printed on them, and what they weigh when empty."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from inventory.forms import AdoptShellForm, TypeForm
from inventory.models import ContainerType
from inventory.queries import container_types, empties_of
from inventory.services import add_container_type, adopt_shell
from shop.http import SignedInRequest, now, own_path, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    return render(request, "inventory/types/list.html", {"types": container_types()})


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    form, back = TypeForm(request.POST or None), own_path(request, reverse("deliveries:new"))
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            kind = add_container_type(form.kind(), at=now(), by=request.user)
            messages.success(request, f"{kind} is on the list.")
            return back

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "types": container_types(), "back": back, "back_name": _named(back)}
    return render(request, "inventory/types/new.html", shown)


def _named(page: str) -> str:
    """What the page is called from which a new kind was asked for."""
    names = {
        reverse("deliveries:new"): "Receive",
        reverse("types:list"): "Kinds of can",
        reverse("counts:opening"): "Opening count",
    }
    return names.get(page, "Back")


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    """One kind of can: its label, and its empty shell with what the empties showed."""
    return _page(request, get_object_or_404(container_types(), pk=pk), AdoptShellForm())


@open_to(FRONT_OFFICE, OWNER)
def adopt(request: SignedInRequest, pk: int) -> HttpResponse:
    """Use what the empties weighed from now on."""
    kind = get_object_or_404(container_types(), pk=pk)
    form = AdoptShellForm(request.POST or None)
    if request.method != "POST":
        return redirect("types:page", pk)
    if form.is_valid():

        def write() -> str:
            changed = adopt_shell(kind, form.shown(), at=now(), by=request.user)
            said = _("The shell of %(kind)s is %(shell)s g from now on. What is booked stays as it is.")
            shell = f"{changed.shell.grams:.1f}"
            messages.success(request, said % {"kind": changed, "shell": shell})
            return reverse("types:page", args=[pk])

        if answer := written(request, form, write):
            return answer
    return _page(request, kind, form)


def _page(request: SignedInRequest, kind: ContainerType, form: AdoptShellForm) -> HttpResponse:
    empties = empties_of(kind, request.user.establishment)
    shown = {"kind": kind, "empties": empties, "answer": empties.answer, "form": form}
    return render(request, "inventory/types/page.html", shown)
