"""Reads behind the lists: the book, suppliers, kinds of can, counts."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet, Sum

from inventory.models import ContainerType, Count, CountDraft, CountLine, Movement, Supplier
from shop.core.mass import ZERO, Mass, total
from shop.models import Establishment


def book(establishment: Establishment) -> QuerySet[Movement]:
    """The refrigerant book, newest first."""
    rows = Movement.objects.filter(establishment=establishment).select_related("entry__by")
    return rows.order_by("-pk")


def suppliers(establishment: Establishment) -> QuerySet[Supplier]:
    return Supplier.objects.filter(establishment=establishment)


def container_types() -> QuerySet[ContainerType]:
    return ContainerType.objects.select_related("refrigerant")


def counts(establishment: Establishment) -> QuerySet[Count]:
    """Counts with their lines, however many containers each of them found."""
    lines = Prefetch("lines", CountLine.objects.select_related("container__can__type"))
    rows = Count.objects.filter(establishment=establishment).select_related("by", "imported__undone")
    return rows.prefetch_related(lines, "left_out")


def paused_counts(establishment: Establishment) -> QuerySet[CountDraft]:
    """Counts that somebody began and nobody signed, the oldest first."""
    return CountDraft.objects.filter(establishment=establishment).select_related("by").order_by("started_at")


def last_count_of(
    establishment: Establishment, refrigerant: str, *, before: Count | None = None
) -> tuple[Count, Mass] | None:
    """The last signed count of a refrigerant and what it found: the opening of what comes after it."""
    lines = CountLine.objects.filter(count__establishment=establishment, container__refrigerant=refrigerant)
    if before is not None:
        lines = lines.filter(count__lt=before.pk)
    last = lines.order_by("-count").values_list("count", flat=True).first()
    if last is None:
        return None
    found = lines.filter(count=last).aggregate(found=Sum("found"))["found"]
    return Count.objects.get(pk=last), found


@dataclass(frozen=True, slots=True)
class CountSum:
    """A count's lines of one refrigerant, added up."""

    refrigerant: str
    lines: tuple[CountLine, ...]

    @property
    def expected(self) -> Mass:
        return total(line.expected for line in self.lines)

    @property
    def found(self) -> Mass:
        return total(line.found for line in self.lines)

    @property
    def difference(self) -> Mass:
        return self.found - self.expected

    @property
    def estimated(self) -> int:
        """How many cans were found by a shell that was only estimated."""
        return sum(1 for line in self.lines if line.estimated_g)

    @property
    def estimated_g(self) -> int:
        """How far that may be off in all: an estimate is wrong for every can of its kind alike, so it adds up."""
        return sum(line.estimated_g for line in self.lines)

    @property
    def off(self) -> Mass:
        return abs(self.difference)

    @property
    def percent(self) -> float | None:
        """The difference in percent of what the book expected; None where it expected nothing."""
        return 100 * self.difference.grams / self.expected.grams if self.expected > ZERO else None

    @property
    def biggest(self) -> list[CountLine]:
        """The three lines that make most of the difference."""
        off = [line for line in self.lines if line.difference != ZERO]
        return sorted(off, key=lambda line: abs(line.difference), reverse=True)[:3]


def count_sums(count: Count) -> list[CountSum]:
    """A count by refrigerant."""
    by_refrigerant: dict[str, list[CountLine]] = {}
    for line in count.lines.all():
        by_refrigerant.setdefault(line.container.refrigerant_id, []).append(line)
    return [CountSum(refrigerant, tuple(lines)) for refrigerant, lines in sorted(by_refrigerant.items())]


def earlier_differences(count: Count) -> dict[str, list[Mass]]:
    """The differences of the six counts before this one, by refrigerant, oldest first; opening counts left out."""
    lines = CountLine.objects.filter(
        count__establishment=count.establishment_id, count__opening=False, count__lt=count.pk
    )
    summed = (
        lines.values_list("count", "container__refrigerant")
        .annotate(found=Sum("found"), expected=Sum("expected"))
        .order_by("-count")
    )
    earlier: dict[str, list[Mass]] = {}
    for _, refrigerant, found, expected in summed:
        earlier.setdefault(refrigerant, []).insert(0, found - expected)
    return {refrigerant: masses[-6:] for refrigerant, masses in earlier.items()}
