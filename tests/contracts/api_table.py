"""Which operation of the API opens to whom, and which scope its key needs; every operation stands here once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from shop.core.roles import Role
from shop.core.scopes import Scope
from tests.contracts.roles_table import ALL, OFFICE, OWNER, TECH
from tests.factories import Shop

OFFICE_WORK, BAY_WORK = {OFFICE, OWNER}, {TECH, OWNER}

# (address name, method) -> the roles it opens to, and the scope
OPERATIONS: dict[tuple[str, str], tuple[set[Role], Scope]] = {
    ("api-people", "GET"): (ALL, Scope.PEOPLE_READ),
    ("api-equipment", "GET"): (ALL, Scope.PEOPLE_READ),
    ("api-containers", "GET"): (ALL, Scope.CABINET_READ),
    ("api-container", "GET"): (ALL, Scope.CABINET_READ),
    ("api-tickets", "GET"): (ALL, Scope.CABINET_READ),
    ("api-tickets", "POST"): (ALL, Scope.CABINET_WRITE),
    ("api-book", "GET"): (ALL, Scope.BOOK_READ),
    ("api-papers", "GET"): (ALL, Scope.PAPERS_READ),
    ("api-paper", "GET"): (ALL, Scope.PAPERS_READ),
    ("api-paper-pdf", "GET"): (ALL, Scope.PAPERS_READ),
}


def _nothing(shop: Shop, things: dict[str, str]) -> dict[str, object]:
    return {}


# address name -> what has to be there before the example of its write works, and what its address names then beside
# the things that every address is tried with
GIVEN: dict[str, Callable[[Shop, dict[str, str]], dict[str, object]]] = defaultdict(
    lambda: _nothing,
    {
        "api-tickets": lambda shop, things: {"code": "K-0010"},
    },
)
