"""Which operation of the API opens to whom, and which scope its key needs; every operation stands here once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from shop.core.roles import Role
from shop.core.scopes import Scope
from tests.contracts import api_jobs
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


# address name -> what has to be there before the example of its write works, and what its address names then beside
# the things that every address is tried with
GIVEN: dict[str, Callable[[Shop, dict[str, str]], dict[str, object]]] = defaultdict(
    lambda: _nothing,
    {
        "api-tickets": lambda shop, things: {"code": "K-0010"},
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
