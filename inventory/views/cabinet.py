"""The cabinet: what is on hand by refrigerant, and the one thing to do next."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from inventory.queries import (
    cylinder_room,
    lines_to_come,
    low_stock,
    paused_counts,
    refused_here,
    shelves,
)
from shop.http import SignedInRequest, now
from shop.permissions import EVERYONE, open_to
from shop.queries import rules_on

SHOWN_FOR = timedelta(days=60)  # how long cans that did not come are still looked for


@open_to(*EVERYONE)
def cabinet(request: SignedInRequest) -> HttpResponse:
    house = request.user.establishment
    today = timezone.localdate(now())
    rules = rules_on(house, today)
    on_hand = [(shelf, [cylinder_room(one, rules) for one in shelf.cylinders]) for shelf in shelves(house)]
    shown = {
        "on_hand": on_hand,
        "nearly_full": [room for _, rooms in on_hand for room in rooms if room.is_nearly_full],
        "low": low_stock(house, today, [shelf for shelf, _ in on_hand]),
        "refused": refused_here(house),
        "paused": paused_counts(house),
        "to_come": lines_to_come(house, since=today - SHOWN_FOR),
    }
    return render(request, "inventory/cabinet/page.html", shown)
