"""Cards: everybody who stood as doer, leavers too, and the work-day check of every stage they signed."""

from __future__ import annotations

from datetime import timedelta

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from compliance.forms.people import DaysForm
from compliance.queries.card_copies import buyers_on, holdings
from compliance.queries.people import doers, signed, stages_of_days, work_days
from shop.forms import DayForm
from shop.http import SignedInRequest, now
from shop.models import Buyer, CardImage, Officer
from shop.permissions import EVERYONE, open_to
from shop.queries import badge_of, pin_of, work_day
from shop.views.cards import person_of

LOOKED_BACK = timedelta(days=3 * 365 + 1)  # 40 CFR 82.42(b)(4): three years


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    """Everybody, with today's answer to the work-day question for those who work on cars."""
    today, house = timezone.localdate(now()), request.user.establishment
    rows = doers(house, today)
    shown = {
        "rows": rows,
        "today": today,
        "days": work_days(house, today - LOOKED_BACK, today),
        "buyers": buyers_on(house, today),
    }
    return render(request, "compliance/people/list.html", shown)


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    """One person's cards and days; ``?day=`` asks about another day than today."""
    person = person_of(request, pk)
    today = timezone.localdate(now())
    form = DayForm(request.GET) if "day" in request.GET else DayForm(initial={"day": today})
    day = form.chosen() if form.is_valid() else today
    images: dict[int, list[CardImage]] = {}
    rows = CardImage.objects.filter(card__person=person).defer("content").select_related("by", "unreadable")
    for one in rows:
        images.setdefault(one.card_id, []).append(one)
    doer = next(one for one in doers(request.user.establishment, today) if one.person.pk == pk)
    shown = {"person": person, "form": form, "standing": work_day(person, day), "day": day, "doer": doer}
    shown |= {"pin": pin_of(person), "badge": badge_of(person), "today": today}
    shown |= {
        "cards": [(card, images.get(card.pk, [])) for card in person.cards.all()],
        "holdings": holdings(request.user.establishment, person),
        "buying": Buyer.objects.filter(person=person).select_related("end"),
        "offices": Officer.objects.filter(person=person),
        "leavings": person.leavings.select_related("by"),
    }
    return render(request, "compliance/people/page.html", shown)


@open_to(*EVERYONE)
def stages(request: SignedInRequest) -> HttpResponse:
    """Every refrigerant stage of a period with the card that answers for its day."""
    house, today = request.user.establishment, timezone.localdate(now())
    first = {"first": today - LOOKED_BACK, "last": today}
    form = DaysForm(request.GET) if "first" in request.GET else DaysForm(initial=first)
    begin, end = form.days() if form.is_bound and form.is_valid() else (first["first"], first["last"])
    pages = Paginator(stages_of_days(house, begin, end), 60).get_page(request.GET.get("page"))
    rows = list(signed(house, pages.object_list))
    shown = {"form": form, "first": begin, "last": end, "days": work_days(house, begin, end), "pages": pages}
    return render(request, "compliance/people/stages.html", shown | {"rows": rows})
