"""What tests about jobs may ask for: a cabinet with a case of cans, and a car in the bay."""

from __future__ import annotations

import pytest

from inventory.models import Container
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Twelve sealed 12-oz cans of R-134a, K-0001 to K-0012."""
    return cans_of(receive(shop))


@pytest.fixture
def bay(shop: Shop, cans: list[Container]) -> Bay:
    """A 500 g car, checked in by Dev."""
    return Bay.check_in(shop)
