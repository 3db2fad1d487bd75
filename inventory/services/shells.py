"""The weight of an empty shell, taken over from the empties that were weighed."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inventory.models import ContainerType
from inventory.queries import empties_of
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase
from shop.models import AuditNote, Person


@transaction.atomic
def adopt_shell(kind: ContainerType, shown: Mass | None, *, at: datetime, by: Person) -> ContainerType:
    """Use what the empties of a kind weighed as its shell from now on. What is booked already stays as it is.

    ``shown`` is the mean that the person saw. Refused when it is another by now, when there are too few empties, or
    when it is in use already.
    """
    kind = ContainerType.objects.select_for_update(no_key=True, of=("self",)).get(pk=kind.pk)
    empties = empties_of(kind, by.establishment)
    found = empties.learned
    if found is None:
        refuse_if_blocked([blocked("shell-too-few", empties.answer.headline)])
    elif empties.in_use:
        refuse_if_blocked([blocked("shell-in-use", phrase("That shell is in use already."))])
    elif shown != found.mean:
        sentence = phrase(
            "Another empty was weighed since: it is {mean} g now. Look, and press again.",
            mean=found.mean.rounded(Unit.G, 1),
        )
        refuse_if_blocked([blocked("shell-changed", sentence)])
    else:
        was = _said(kind)
        kind.shell, kind.shell_spread_g = found.mean, found.give_or_take
        kind.shell_basis = ContainerType.Basis.LEARNED
        kind.save(update_fields=["shell", "shell_spread_g", "shell_basis"])
        now = f"{_said(kind)}, {found.number} empties"
        AuditNote.objects.create(by=by, at=at, about=f"shell of {kind}"[:80], was=was, now=now)
    return kind


def _said(kind: ContainerType) -> str:
    return f"{kind.shell.rounded(Unit.G, 1)} g, {kind.shell_basis}, give or take {kind.shell_spread_g} g"
