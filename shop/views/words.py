"""The words of the shop, and a first Spanish draft of them."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.permissions import public


@public
def words(request: HttpRequest) -> HttpResponse:
    return render(request, "shop/words/list.html")
