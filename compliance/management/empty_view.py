"""The shop's addresses and one that does nothing, to measure an answer of the API against."""

from __future__ import annotations

from typing import Any

from django.urls import include, path
from rest_framework.request import Request
from rest_framework.response import Response

from shop.api.base import Door, reads
from shop.core.scopes import Scope
from shop.permissions import EVERYONE


class Nothing(Door):
    """Asks for the key, and has nothing to say."""

    opens = reads(EVERYONE, Scope.BOOK_READ)

    def get(self, request: Request, **named: Any) -> Response:
        return Response({})


urlpatterns = [path("api/nothing/", Nothing.as_view()), path("", include("shop.urls"))]
