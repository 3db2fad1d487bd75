"""A packing slip as the front office types it."""

from __future__ import annotations

from typing import Any

from django.test import Client
from django.utils import timezone

from tests.factories import Shop
from tests.pages import send

NEW = "/deliveries/new/"


def slip(shop: Shop, **changed: Any) -> dict[str, Any]:
    """Three cases of 12-oz cans on slip 88412, arrived today."""
    right = {
        "rows": "1",
        "supplier": shop.supplier.pk,
        "slip": "88412",
        "on": timezone.localdate().isoformat(),
        "asked": "not asked",
        "type_0": shop.can12.pk,
        "cases_0": "3",
    }
    return {**right, **changed}


def counted_up(client: Client, data: dict[str, Any]) -> Any:
    return send(client, NEW, do="count", **data)


def put_in(client: Client, data: dict[str, Any], **rest: Any) -> Any:
    """Count it up, look at it, put it in the cabinet: what a person does."""
    form = counted_up(client, data).context["form"]
    return send(client, NEW, do="save", counted=form.counted_now if form.is_valid() else "", **data, **rest)
