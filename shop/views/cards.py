"""What hangs on a card and a person: images, who buys for the shop, who signs for it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.forms import BuyerForm, EndBuyerForm, FileForm, OfficerForm, OwnerChangeForm, UnreadableForm
from shop.http import SignedInRequest, now, written
from shop.models import Buyer, Card, CardImage, Person
from shop.permissions import FRONT_OFFICE, OWNER, open_to
from shop.queries import people
from shop.services import (
    add_card_image,
    change_owner,
    end_buyer,
    mark_unreadable,
    name_buyer,
    name_officer,
)

HANDED_OUT = {
    "Cache-Control": "private, no-store",
    # The style is the browser's own, with which it lays out a picture that is opened by itself.
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox",
    "X-Content-Type-Options": "nosniff",
}


def page_of(person: Person) -> str:
    return reverse("people:page", args=[person.pk])


def person_of(request: SignedInRequest, pk: int) -> Person:
    return get_object_or_404(people(request.user.establishment), pk=pk)


@open_to(FRONT_OFFICE, OWNER)
def image(request: SignedInRequest, pk: int, card: int) -> HttpResponse:
    """Put a photo or PDF of a card on file; what was there stays."""
    person = person_of(request, pk)
    shown = get_object_or_404(Card, person=person, pk=card)
    sent = request.method == "POST"
    form = FileForm(request.POST if sent else None, request.FILES if sent else None)
    if sent and form.is_valid():

        def write() -> str:
            add_card_image(shown, form.file(), at=now(), by=request.user)
            messages.success(request, _("The copy of card %(card)s is on file.") % {"card": shown.number})
            return page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/image.html", {"form": form, "person": person, "card": shown})


def image_of(request: SignedInRequest, pk: int, image: int) -> CardImage:
    rows = CardImage.objects.filter(card__person__establishment=request.user.establishment, card__person=pk)
    return get_object_or_404(rows.select_related("card__person"), pk=image)


@open_to(FRONT_OFFICE, OWNER)
def show(request: SignedInRequest, pk: int, image: int) -> HttpResponse:
    """A photo as it was drawn anew; a PDF is handed out and never shown inside our pages."""
    kept = image_of(request, pk, image)
    photo = kept.media == CardImage.Media.JPEG
    how, ending = ("inline", "jpg") if photo else ("attachment", "pdf")
    name = {"Content-Disposition": f'{how}; filename="609-card-{kept.card_id}-{kept.pk}.{ending}"'}
    return HttpResponse(bytes(kept.content), content_type=kept.media, headers=HANDED_OUT | name)


@open_to(FRONT_OFFICE, OWNER)
def unreadable(request: SignedInRequest, pk: int, image: int) -> HttpResponse:
    kept = image_of(request, pk, image)
    form = UnreadableForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            mark_unreadable(kept, why=form.reason(), at=now(), by=request.user)
            messages.success(request, _("Marked as not readable. Put a better one on file."))
            return page_of(kept.card.person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/unreadable.html", {"form": form, "image": kept})


@open_to(OWNER)
def buyer(request: SignedInRequest, pk: int) -> HttpResponse:
    """Put somebody on the list of those who buy."""
    person, at = person_of(request, pk), now()
    form = BuyerForm(request.POST or None, initial={"first_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            name_buyer(person, first_day=form.day(), at=at, by=request.user)
            return page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/buyer.html", {"form": form, "person": person})


@open_to(OWNER)
def no_buyer(request: SignedInRequest, pk: int) -> HttpResponse:
    """Take somebody off that list."""
    person, at = person_of(request, pk), now()
    running = get_object_or_404(Buyer, person=person, end=None)
    form = EndBuyerForm(request.POST or None, initial={"last_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_buyer(running, last_day=form.day(), at=at, by=request.user)
            return page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/no_buyer.html", {"form": form, "person": person, "running": running})


@open_to(OWNER)
def officer(request: SignedInRequest, pk: int) -> HttpResponse:
    """Name a responsible officer."""
    person, at = person_of(request, pk), now()
    form = OfficerForm(request.POST or None, initial={"first_day": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made = name_officer(person, **form.office(), at=at, by=request.user)
            said = {"name": person.name, "title": made.title}
            messages.success(request, _("%(name)s signs for the shop as %(title)s.") % said)
            return page_of(person)

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/officer.html", {"form": form, "person": person})


@open_to(OWNER)
def new_owner(request: SignedInRequest) -> HttpResponse:
    """The shop has another owner from a day on."""
    at = now()
    form = OwnerChangeForm(request.POST or None, establishment=request.user.establishment)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            owner, on = form.change()
            change_owner(owner, on=on, today=timezone.localdate(at), at=at, by=request.user)
            messages.success(request, _("%(name)s is the owner from that day on.") % {"name": owner.name})
            return reverse("statements:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/people/new_owner.html", {"form": form})
