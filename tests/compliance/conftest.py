"""What tests about jobs may ask for: a cabinet with a case of cans, and a car in the bay."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from inventory.models import Container
from tests.compliance.clearing_work import Owner, old_job_and_one_on_hold
from tests.compliance.work import Bay
from tests.conftest import Keep
from tests.factories import Shop, cans_of, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Twelve sealed 12-oz cans of R-134a, K-0001 to K-0012."""
    return cans_of(receive(shop))


@pytest.fixture
def bay(shop: Shop, cans: list[Container]) -> Bay:
    """A 500 g car, checked in by Dev."""
    return Bay.check_in(shop)


@pytest.fixture(scope="module")
def done_of_all(keep: Keep, shop_of_all: Shop) -> Bay:
    """The sample job, by Dev: K-0001 466 to 128, K-0002 464 to 293, 6 g in the hoses, 503 g in a 500 g car."""

    def make() -> Bay:
        bay = Bay.check_in(shop_of_all)
        bay.straight(*cans_of(receive(shop_of_all))[:2])
        return bay

    made: Bay = keep(make)
    return made


@pytest.fixture
def done(done_of_all: Bay, shop: Shop, copies: dict[int, Any]) -> Bay:
    """The sample job, closed once for all tests of a module; each of them asks for it, or none."""
    return deepcopy(done_of_all, copies)


@pytest.fixture(scope="module")
def two_old_jobs(keep: Keep, shop_of_all: Shop) -> None:
    keep(lambda: old_job_and_one_on_hold(shop_of_all))


@pytest.fixture
def owner(two_old_jobs: None, shop: Shop) -> Owner:
    """The owner of a shop in which J24-0001 may be cleared, and a hold keeps J24-0002."""
    return Owner(shop)
