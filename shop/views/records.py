"""Records: where an owner stands when somebody asks."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from shop.http import SignedInRequest
from shop.permissions import EVERYONE, open_to


@open_to(*EVERYONE)
def records(request: SignedInRequest) -> HttpResponse:
    return render(request, "shop/records/home.html")
