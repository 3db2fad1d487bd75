"""Which operation of the API opens to whom, and which scope its key needs; every operation stands here once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from inventory.models import Container, Spot
from inventory.services import FacilityIn, MoveIn, add_facility, add_spot, move_containers
from shop.core.roles import Role
from shop.core.scopes import Scope
from tests.contracts import api_jobs
from tests.contracts.roles_table import ALL, OFFICE, OWNER, TECH
from tests.factories import DAY, NOON, Shop, receive

OFFICE_WORK, BAY_WORK = {OFFICE, OWNER}, {TECH, OWNER}

# (address name, method) -> the roles it opens to, and the scope
OPERATIONS: dict[tuple[str, str], tuple[set[Role], Scope]] = {
    ("api-people", "GET"): (ALL, Scope.PEOPLE_READ),
    ("api-equipment", "GET"): (ALL, Scope.PEOPLE_READ),
    ("api-containers", "GET"): (ALL, Scope.CABINET_READ),
    ("api-container", "GET"): (ALL, Scope.CABINET_READ),
    ("api-tickets", "GET"): (ALL, Scope.CABINET_READ),
    ("api-tickets", "POST"): (ALL, Scope.CABINET_WRITE),
    ("api-outcome", "POST"): (ALL, Scope.CABINET_WRITE),
    ("api-stock", "GET"): (ALL, Scope.CABINET_READ),
    ("api-suppliers", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-suppliers", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-types", "GET"): (ALL, Scope.CABINET_READ),
    ("api-types", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-deliveries", "GET"): (ALL, Scope.CABINET_READ),
    ("api-deliveries", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-delivery", "GET"): (ALL, Scope.CABINET_READ),
    ("api-rest", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-not-coming", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-lots", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-slips", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-merging", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-undoing", "POST"): ({OWNER}, Scope.CABINET_WRITE),
    ("api-damages", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-damages", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-returns", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-returns", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-invoices", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-invoices", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-credits", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-credits", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-cylinders", "GET"): (ALL, Scope.CABINET_READ),
    ("api-cylinders", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-cylinder", "GET"): (ALL, Scope.CABINET_READ),
    ("api-spots", "GET"): (ALL, Scope.CABINET_READ),
    ("api-spots", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-moves", "GET"): (ALL, Scope.CABINET_READ),
    ("api-moves", "POST"): (ALL, Scope.CABINET_WRITE),
    ("api-arrivals", "GET"): (ALL, Scope.CABINET_READ),
    ("api-arrivals", "POST"): (ALL, Scope.CABINET_WRITE),
    ("api-counts", "GET"): (ALL, Scope.CABINET_READ),
    ("api-counts", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-count", "GET"): (ALL, Scope.CABINET_READ),
    ("api-facilities", "GET"): (OFFICE_WORK, Scope.CABINET_READ),
    ("api-facilities", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-shipments", "GET"): (ALL, Scope.CABINET_READ),
    ("api-shipments", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-shipment", "GET"): (ALL, Scope.CABINET_READ),
    ("api-receipt", "POST"): (OFFICE_WORK, Scope.CABINET_WRITE),
    ("api-book", "GET"): (ALL, Scope.BOOK_READ),
    ("api-book-months", "GET"): (ALL, Scope.BOOK_READ),
    ("api-book-day", "GET"): (ALL, Scope.BOOK_READ),
    ("api-book-day-containers", "GET"): (ALL, Scope.BOOK_READ),
    ("api-jobs", "GET"): (ALL, Scope.JOBS_READ),
    ("api-jobs", "POST"): (ALL, Scope.JOBS_WRITE),
    ("api-job", "GET"): (ALL, Scope.JOBS_READ),
    ("api-job-check-in", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-recovery", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-leak-check", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-repair", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-evacuation", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-leak-test", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-charge", "GET"): (ALL, Scope.JOBS_READ),
    ("api-job-charge", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-finals", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-leaving-out", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-tickets", "GET"): (ALL, Scope.JOBS_READ),
    ("api-job-tickets", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-if-kept", "GET"): (BAY_WORK, Scope.JOBS_READ),
    ("api-job-retyping", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-taking-over", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-taking-off", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-refiling", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-mischarges", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-choices", "POST"): (ALL, Scope.JOBS_WRITE),
    ("api-job-hand-overs", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-job-answers", "POST"): (ALL, Scope.JOBS_WRITE),
    ("api-job-closing", "POST"): (BAY_WORK, Scope.JOBS_WRITE),
    ("api-corrections", "GET"): (ALL, Scope.JOBS_READ),
    ("api-holds", "GET"): (ALL, Scope.JOBS_READ),
    ("api-usage-report", "GET"): (OFFICE_WORK, Scope.PAPERS_READ),
    ("api-papers", "GET"): (ALL, Scope.PAPERS_READ),
    ("api-paper", "GET"): (ALL, Scope.PAPERS_READ),
    ("api-paper-pdf", "GET"): (ALL, Scope.PAPERS_READ),
}


def _nothing(shop: Shop, things: dict[str, str]) -> dict[str, object]:
    return {}


def _a_van(shop: Shop) -> dict[str, object]:
    add_spot("van 2", "van", shop.establishment, at=NOON, by=shop.lee)
    return {}


def _a_second_paper(shop: Shop) -> dict[str, object]:
    receive(shop, slip="88413")
    return {}


def _on_the_way(shop: Shop) -> dict[str, object]:
    _a_van(shop)
    move = MoveIn([Container.objects.get(pk="K-0007")], Spot.objects.get())
    move_containers(move, at=NOON, by=shop.dev)
    return {}


def _a_facility(shop: Shop) -> dict[str, object]:
    place = FacilityIn("Saltgrass Refrigerant Recovery", "9 Depot Lane, Other Springs, CO 80001")
    add_facility(place, shop.establishment, today=DAY, at=NOON, by=shop.lee)
    return {}


# address name -> what has to be there before the example of its write works, and what its address names then beside
# the things that every address is tried with
GIVEN: dict[str, Callable[[Shop, dict[str, str]], dict[str, object]]] = defaultdict(
    lambda: _nothing,
    {
        "api-tickets": lambda shop, things: {"code": "K-0010"},
        "api-merging": lambda shop, things: _a_second_paper(shop),
        "api-undoing": lambda shop, things: {"delivery": receive(shop, slip="88413").number},
        "api-moves": lambda shop, things: _a_van(shop),
        "api-arrivals": lambda shop, things: _on_the_way(shop),
        "api-shipments": lambda shop, things: _a_facility(shop),
        "api-job-recovery": api_jobs.marta_may,
        "api-job-leak-check": api_jobs.marta_may,
        "api-job-repair": api_jobs.marta_may,
        "api-job-evacuation": api_jobs.marta_may,
        "api-job-leak-test": api_jobs.can_read,
        "api-job-charge": api_jobs.can_read,
        "api-job-tickets": api_jobs.marta_may,
        "api-job-retyping": api_jobs.can_on,
        "api-job-taking-over": api_jobs.can_elsewhere,
        "api-job-taking-off": api_jobs.can_read,
        "api-job-refiling": api_jobs.can_on,
        "api-job-mischarges": api_jobs.wrong_can,
        "api-job-answers": api_jobs.wisconsin,
        "api-job-closing": api_jobs.stages_left_out,
    },
)
