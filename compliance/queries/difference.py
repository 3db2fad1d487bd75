"""Find the difference: one count and refrigerant, what scales and fills can make of it, and its suspects."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from compliance.queries.difference_facts import (
    Reading,
    draw_facts,
    hanging_facts,
    label_weight_facts,
    line_facts,
    pair_facts,
)
from compliance.queries.difference_shelf import booked_facts, delivery_facts, moved_facts, scale_facts
from inventory.core.difference import period_u
from inventory.core.suspect_facts import PeriodFacts
from inventory.core.suspect_sums import suspects_of
from inventory.core.suspects import COVERS, LeftOver, Sure, Suspect, grams_of, left_over
from inventory.core.weighing import u_difference
from inventory.core.weighing_rules import FROST, K
from inventory.models import Count, DifferenceNote
from inventory.queries import Limit, earlier_differences, limit_of
from shop.core.mass import ZERO, Mass, total
from shop.core.roles import Role

# Where a role may not open the page of a door: what it may read instead.
OTHER_DOORS: dict[tuple[str, str], str] = {
    ("equipment:check", Role.FRONT_OFFICE): "equipment:page",
    ("deliveries:merge", Role.TECHNICIAN): "deliveries:page",
    ("deliveries:rest", Role.TECHNICIAN): "deliveries:page",
}
SHAPES = {Sure.ON_FILE: "done", Sure.LIKELY: "look", Sure.POSSIBLE: "waiting"}


@dataclass(frozen=True, slots=True)
class SuspectLine:
    """A suspect as the page shows it, with the address of the page where it is checked."""

    suspect: Suspect
    href: str
    shape: str


@dataclass(frozen=True, slots=True)
class Hunt:
    """Everything that the page says."""

    count: Count
    refrigerant: str
    since: date | None
    expected: Mass
    counted: Mass
    u_g: float
    parts: tuple[tuple[str, float], ...]
    earlier: tuple[Mass, ...]
    limit: Limit
    lines: tuple[SuspectLine, ...]
    left: LeftOver
    notes: tuple[DifferenceNote, ...]

    @property
    def difference(self) -> Mass:
        return self.counted - self.expected

    @property
    def percent(self) -> str | None:
        """The difference in percent of what was expected, with a real minus sign; None where nothing was."""
        if self.expected <= ZERO:
            return None
        return f"{100 * self.difference.grams / self.expected.grams:+.1f}".replace("-", "−")

    @property
    def can_make(self) -> Mass:
        """What scales and fills alone make either way, 95 times of 100."""
        return grams_of(COVERS * self.u_g)

    @property
    def over(self) -> bool:
        return abs(self.difference) > self.limit.mass

    @property
    def within_scales(self) -> bool:
        return abs(self.difference) <= self.can_make

    @property
    def to_hunt(self) -> tuple[SuspectLine, ...]:
        return tuple(line for line in self.lines if not line.suspect.booked)

    @property
    def booked(self) -> tuple[SuspectLine, ...]:
        return tuple(line for line in self.lines if line.suspect.booked)


def hunt(count: Count, refrigerant: str, role: str = Role.OWNER) -> Hunt | None:
    """The difference of one refrigerant at one count; None when the count did not ask for it. Each suspect opens a
    page that this role may open."""
    read = Reading(count, refrigerant)
    if not read.lines:
        return None
    facts = period_facts(read)
    suspects = suspects_of(facts)
    u_g, parts = _uncertainty(read)
    notes = DifferenceNote.objects.filter(count=count, refrigerant=refrigerant).select_related("by")
    return Hunt(
        count=count,
        refrigerant=refrigerant,
        since=read.before.on if read.before else None,
        expected=total(line.expected for line in read.lines),
        counted=total(line.found for line in read.lines),
        u_g=u_g,
        parts=parts,
        earlier=tuple(earlier_differences(count).get(refrigerant, [])),
        limit=limit_of(count, read.before, refrigerant),
        lines=tuple(SuspectLine(one, _address(one, role), SHAPES[one.sure]) for one in suspects),
        left=left_over(suspects, facts.difference, u_g),
        notes=tuple(notes),
    )


def period_facts(read: Reading) -> PeriodFacts:
    step = max((ticket.division.grams for ticket in read.tickets), default=1.0)
    return PeriodFacts(
        read.refrigerant,
        lines=line_facts(read),
        pairs=pair_facts(read),
        draws=draw_facts(read),
        hanging=hanging_facts(read),
        label_weights=label_weight_facts(read),
        deliveries=delivery_facts(read),
        moved=moved_facts(read),
        scales=scale_facts(read),
        booked=booked_facts(read),
        swapped_slack_g=2 * FROST.grams + 2 * K * u_difference(grams_of(step)),
    )


def _uncertainty(read: Reading) -> tuple[float, tuple[tuple[str, float], ...]]:
    """u(V) of the period with its own numbers, and its parts: fills, readings, part cans, the scale's gain."""
    facts = line_facts(read)
    parted = [line for line in facts if line.weighed and line.kind == "can"]
    fresh = [line for line in parted if not line.known]
    spread = max((line.shell_spread_g for line in fresh), default=0.0)
    numbers = {
        "cans_opened": len(read.opened),
        "draws": len(read.draws),
        "part_cans": len(parted),
        "gain_half_width": float(read.rules.scale_gain_percent) / 100,
        "gain_base_g": sum(abs(draw.grams) for draw in read.draws),
    }
    step = max((ticket.division.grams for ticket in read.tickets), default=1.0)
    shells = spread * math.sqrt(len(fresh) / len(parted)) if parted else 0.0

    def u(*names: str) -> float:
        mine = {name: number if name in names else 0 for name, number in numbers.items()}
        return period_u(**mine, division_g=step, shell_spread_g=shells)  # type: ignore[arg-type]

    parts = (
        ("fills", u("cans_opened")),
        ("readings", u("draws")),
        ("part cans", u("part_cans")),
        ("gain", u("gain_half_width", "gain_base_g")),
    )
    return u(*numbers), parts


def _address(suspect: Suspect, role: str) -> str:
    door = suspect.door
    page = OTHER_DOORS.get((door.page, role), door.page)
    return reverse(page, args=door.names) + (f"?{door.asks}" if door.asks else "")
