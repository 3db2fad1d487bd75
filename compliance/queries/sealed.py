"""Reads what the chain holds of clearings: the body of a link from its rows, and for ``verify`` both side by side."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby

from django.db.models import QuerySet

from compliance.core.sealing import (
    BEGINS,
    ChainDay,
    SealedRow,
    Signed,
    Stone,
    backdated_findings,
    link_body,
    said_by,
    sealed_findings,
)
from compliance.models import Clearing, Link, Tombstone
from compliance.queries.cleared import going
from compliance.queries.facts import local
from shop.core.findings import Finding

Stones = dict[str, list[Stone]]


def body_of(clearing: Clearing, jobs: Sequence[str], *, done: bool = False) -> str:
    """What a link says of the details of these jobs, by number, as the rows stand; ``done`` when they are gone."""
    return _body(clearing, jobs, _stones(clearing, job__number__in=jobs), done=done)


def _body(clearing: Clearing, jobs: Sequence[str], stones: Stones, *, done: bool) -> str:
    mine = (stone for job in jobs for stone in stones.get(job, ()))
    return link_body(clearing.pk, clearing.archive.sha256, _steps(clearing, done=done), jobs, mine)


def _steps(clearing: Clearing, *, done: bool) -> dict[str, Signed]:
    yes = clearing.confirmed
    steps = {
        "asked": Signed(clearing.on, clearing.at, clearing.by_id),
        "confirmed": Signed(yes.on, yes.at, yes.by_id, yes.undo_until),
    }
    if done and hasattr(clearing, "done"):
        steps["done"] = Signed(clearing.done.on, clearing.done.at, clearing.done.by_id)
    return steps


def _stones(clearing: Clearing, **only: object) -> Stones:
    """The tombstones of a clearing, by number of job."""
    found: Stones = defaultdict(list)
    rows = Tombstone.objects.filter(clearing=clearing, **only).order_by()
    for row in rows.values_list("job__number", "of_table", "of_row", "of_column", "sealed", "stays_sha256"):
        found[row[0]].append(Stone(*row))
    return found


def chained_findings() -> Iterator[Finding]:
    """What the chain holds of clearings against their rows, and the days of their steps against their places."""
    links, unread = _links()
    clearings = Clearing.objects.select_related("archive", "confirmed", "done").order_by("pk")
    rows = [_row(one, links.pop(one.pk, [])) for one in clearings]
    lost = [body for bodies in links.values() for body in bodies]
    if lost or unread:
        nobodys = tuple((body, None) for body in (*lost, *unread))
        rows.append(SealedRow("A clearing that is not on file", nobodys, (), done=False, done_links=0))
    yield from sealed_findings(rows)
    yield from _backdated()


def _links() -> tuple[dict[int, list[str]], list[str]]:
    """The bodies of all links that hold a clearing, by its number; and those that cannot be read."""
    found: dict[int, list[str]] = defaultdict(list)
    unread: list[str] = []
    bodies = Link.objects.filter(body__startswith=BEGINS).order_by("pk").values_list("body", flat=True)
    for body in bodies:
        said = said_by(body)
        (unread if said is None else found[said.clearing]).append(body)
    return found, unread


def _row(clearing: Clearing, bodies: Sequence[str]) -> SealedRow:
    stones, taken = _stones(clearing), set(clearing.jobs.values_list("job__number", flat=True))
    still = tuple(sorted(going(clearing).values_list("number", flat=True)))
    times: Counter[str] = Counter()
    links, done_links = [], 0
    for body in bodies:
        said = said_by(body)
        if said is None:
            continue
        if said.done:
            done_links += 1
        else:
            times.update(said.jobs)
        known = hasattr(clearing, "confirmed") and taken.issuperset(said.jobs)
        whole = known and (not said.done or said.jobs == still)
        links.append((body, _body(clearing, said.jobs, stones, done=said.done) if whole else None))
    astray = tuple(sorted(job for job in {*stones, *times} if times[job] != 1))
    return SealedRow(f"Clearing {clearing.pk}", tuple(links), astray, hasattr(clearing, "done"), done_links)


def _backdated() -> Iterator[Finding]:
    """Only where something was cleared; of a long chain the moments alone are read."""
    shops = Clearing.objects.exclude(confirmed=None).order_by().values("establishment")
    rows = Link.objects.filter(establishment__in=shops).order_by("establishment_id", "place")
    steps = _first_links(rows.filter(body__startswith=BEGINS))
    read = rows.select_related("establishment").defer("body").iterator()
    for _shop, links in groupby(read, lambda link: link.establishment_id):
        yield from backdated_findings(
            [
                steps.get(one.pk) or ChainDay(one.place, local(one.establishment, one.at).date())
                for one in links
            ]
        )


def _first_links(rows: QuerySet[Link]) -> dict[int, ChainDay]:
    """The first link of each step; what was put away later stands further on under the same day."""
    found: dict[tuple[int, bool], tuple[int, ChainDay]] = {}
    for pk, place, body in rows.values_list("pk", "place", "body"):
        if (said := said_by(body)) is not None:
            day = ChainDay(place, said.day, f"Clearing {said.clearing}")
            found.setdefault((said.clearing, said.done), (pk, day))
    return dict(found.values())
