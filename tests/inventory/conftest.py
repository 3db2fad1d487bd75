"""What tests about the cabinet may ask for."""

from __future__ import annotations

import pytest

from inventory.models import Container
from inventory.services import (
    LineIn,
    weigh,
)
from tests.factories import (
    NOON,
    Shop,
    cans_of,
    receive,
    ticket_in,
)


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Four 12-oz cans; K-0001 is open and weighed 300 g."""
    made = cans_of(receive(shop, LineIn(shop.can12, 4, 4, lots=(("L24B-07", 4),))))
    weigh(made[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    weigh(made[0], ticket_in(shop, "300"), at=NOON, by=shop.dev)
    return made
