"""What a program may do with its key, and in whose role."""

from __future__ import annotations

from enum import StrEnum

from shop.core.roles import Role


class Scope(StrEnum):
    """A key opens the parts that it names, and of these only what its role may open."""

    PEOPLE_READ = "people:read"
    CABINET_READ = "cabinet:read"
    CABINET_WRITE = "cabinet:write"
    JOBS_READ = "jobs:read"
    JOBS_WRITE = "jobs:write"
    BOOK_READ = "book:read"
    PAPERS_READ = "papers:read"


LONGEST_DAYS = 366  # a key ends at the latest this long after it was made


def roles_below(role: str) -> tuple[Role, ...]:
    """The roles that somebody of this role may give to a program of theirs: their own, and an owner any."""
    return tuple(Role) if role == Role.OWNER else (Role(role),)
