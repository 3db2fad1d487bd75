"""What the empties of one kind of can weighed, and what is learned from them."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import OuterRef, Subquery

from inventory.core.shell import MOST, Learned, learned, learned_answer
from inventory.core.weighing import Style
from inventory.models import Container, ContainerType, Fate, Movement, WeighTicket
from shop.core.answer import Answer
from shop.core.mass import ZERO
from shop.core.phrase import word
from shop.models import Establishment


@dataclass(frozen=True, slots=True)
class Empties:
    """The last bare weighings of emptied cans of one kind, the newest first, and what they teach."""

    kind: ContainerType
    tickets: tuple[WeighTicket, ...]

    @property
    def learned(self) -> Learned | None:
        coarsest = max((one.division for one in self.tickets), default=ZERO)
        return learned([one.gross for one in self.tickets], coarsest)

    @property
    def in_use(self) -> bool:
        """Whether what was learned is what is used now."""
        found, kind = self.learned, self.kind
        same = found is not None and (kind.shell, kind.shell_spread_g) == (found.mean, found.give_or_take)
        return same and kind.shell_basis == ContainerType.Basis.LEARNED

    @property
    def answer(self) -> Answer:
        basis = word(self.kind.get_shell_basis_display().lower())
        return learned_answer(self.learned, len(self.tickets), self.kind.shell, basis)


def empties_of(kind: ContainerType, establishment: Establishment) -> Empties:
    """Cans of this kind whose use ended with nothing left by the book, and whose last ticket is of the bare can."""
    last = WeighTicket.objects.filter(container=OuterRef("pk"), set_aside=None).order_by("-number")
    cans = Container.objects.filter(
        establishment=establishment, can__type=kind, fate__what=Fate.What.EMPTIED
    ).annotate(last=Subquery(last.values("pk")[:1]))
    newest = list(cans.order_by("-fate__pk").values_list("pk", "last")[: 2 * MOST])
    held = Movement.objects.balances([code for code, _ in newest])
    empty = [ticket for code, ticket in newest if held[code] == ZERO]
    tickets = WeighTicket.objects.filter(pk__in=empty, style=Style.BARE).select_related("scale", "by")
    return Empties(kind, tuple(tickets.order_by("-number")[:MOST]))
