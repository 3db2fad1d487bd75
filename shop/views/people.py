"""The people of the shop: let in, give a card, authorise, end, a new password."""

from __future__ import annotations

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.forms import AuthoriseForm, CardForm, EndForm, PasswordForm, PersonForm
from shop.http import SignedInRequest, now, written
from shop.models import Authorisation, Person
from shop.permissions import OWNER, by_password, open_to
from shop.queries import people
from shop.services import (
    add_card,
    add_person,
    authorise_person,
    end_authorisation,
    end_quick_sign_on,
    renew_password,
)
from shop.views.device import password_first


def _page_of(person: Person) -> str:
    return reverse("people:page", args=[person.pk])


@open_to(OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    if not by_password(request):
        return password_first(request)
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            person = add_person(form.person(), request.user.establishment, at=now(), by=request.user)
            messages.success(request, f"{person.name} may sign on as {person.username}.")
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/new.html", {"form": form})


@open_to(OWNER)
def card(request: SignedInRequest, pk: int) -> HttpResponse:
    """Put a 609 card on file."""
    person = get_object_or_404(people(request.user.establishment), pk=pk)
    form = CardForm(request.POST or None, initial={"name_on_card": person.name})
    if request.method == "POST" and form.is_valid():
        at = now()

        def write() -> str:
            added = add_card(person, form.card(), today=timezone.localdate(at), at=at, by=request.user)
            messages.success(request, f"Card {added.number} of {person.name} is on file.")
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/card.html", {"form": form, "person": person})


@open_to(OWNER)
def authorise(request: SignedInRequest, pk: int) -> HttpResponse:
    """Say from which day a person works on air conditioning here."""
    person = get_object_or_404(people(request.user.establishment), pk=pk)
    at = now()
    form = AuthoriseForm(request.POST or None, initial={"first_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            authorise_person(person, first_day=form.day(), at=at, by=request.user)
            messages.success(request, f"{person.name} is authorised from that day on.")
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/authorise.html", {"form": form, "person": person})


@open_to(OWNER)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    """The last day of a running authorisation."""
    person = get_object_or_404(people(request.user.establishment), pk=pk)
    running = get_object_or_404(Authorisation, person=person, establishment=person.establishment, end=None)
    at = now()
    form = EndForm(request.POST or None, initial={"last_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_authorisation(running, last_day=form.day(), may_sign_on=form.stays(), at=at, by=request.user)
            messages.success(request, f"{person.name}: authorisation ended. Cards and records stay.")
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/end.html", {"form": form, "person": person, "running": running})


@open_to(OWNER)
def end_quick(request: SignedInRequest, pk: int) -> HttpResponse:
    """Take somebody's PIN and badge away, for example when the badge was lost."""
    person = get_object_or_404(people(request.user.establishment), pk=pk)
    form = Form(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_quick_sign_on(person, at=now(), by=request.user)
            messages.success(request, _("PIN and badge of %s hold no more.") % person.name)
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/end_quick.html", {"form": form, "person": person})


@open_to(OWNER)
def password(request: SignedInRequest, pk: int) -> HttpResponse:
    """A new first password, for somebody who forgot theirs or comes back."""
    if not by_password(request):
        return password_first(request)
    person = get_object_or_404(people(request.user.establishment), pk=pk)
    form = PasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            renew_password(person, form.word(), at=now(), by=request.user)
            messages.success(request, f"{person.name} signs on with the new password from now on.")
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/password.html", {"form": form, "person": person})
