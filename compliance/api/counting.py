"""What a program says of a new count, turned into what is signed: each container has an answer, or is left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.api.containers import scales
from inventory.api.cylinders import all_refrigerants
from inventory.core.counting import Waiting
from inventory.forms.count_rows import Moving, containers_on
from inventory.models import Container, CountLine
from inventory.queries import Shelf, in_the_cabinet
from inventory.services import CountedIn, CountIn, TicketIn
from shop.api.fields import OneOf, ReadingIn, SeveralOf, on_scale, several
from shop.core.findings import Refused, blocked
from shop.core.phrase import phrase

LEAVE_OUT, NOT_FOUND = "leave out", "not found"
SHOWN = 8  # codes in a sentence


def some(**rest: Any) -> SeveralOf:
    return SeveralOf("pk", in_the_cabinet, default=list, **rest)


class CountedWeight(serializers.Serializer[Any]):
    """What the scale says about an open can, or about a cylinder."""

    container = OneOf("pk", in_the_cabinet)
    scale = OneOf("code", scales)
    reading = ReadingIn()

    def validate(self, attrs: Any) -> CountedIn:
        ticket = TicketIn(attrs["scale"], on_scale(attrs["scale"], attrs["reading"]))
        return CountedIn(attrs["container"], CountLine.How.WEIGHED, ticket)


class Counted(serializers.Serializer[Any]):
    """Sealed cans that are there, open ones and cylinders weighed, and what belongs to open jobs. What has no answer is
    left out of the count or was not found, as ``rest`` says."""

    refrigerant = OneOf(
        "code",
        all_refrigerants,
        required=False,
        allow_null=True,
        default=None,
        help_text="The whole cabinet when left out.",
    )
    sealed = some(help_text="Sealed cans that are there.")
    weighed = several(CountedWeight, default=list, max_length=500)
    at_last_ticket = some(help_text="Containers of open jobs that are counted at their last ticket.")
    waiting = some(help_text="Containers of open jobs that are left out of this count.")
    not_found = some(help_text="Looked for and not found.")
    rest = serializers.ChoiceField(
        [LEAVE_OUT, NOT_FOUND],
        required=False,
        allow_null=True,
        default=None,
        help_text="What everything without an answer is; asked for where there is something.",
    )


def counted_in(
    said: Mapping[str, Any], cabinet: Sequence[Shelf], waiting: Mapping[str, Waiting], *, on: date
) -> tuple[CountIn, dict[str, str]]:
    """The count as it is signed, and where in the request each container stands, by the field names of the service.

    Raises ``ValidationError`` for a container that the count does not ask for, ``Refused`` where an answer is missing.
    """
    gas = said["refrigerant"]
    mine = [shelf for shelf in cabinet if gas is None or shelf.refrigerant == gas.code]
    known, names = containers_on(mine), dict[str, str]()
    for path, one in _named(said):
        if one.code not in known:
            sentence = _("%(code)s is %(refrigerant)s; this count does not ask for it.")
            told = sentence % {"code": one.code, "refrigerant": one.refrigerant_id}
            raise serializers.ValidationError({path: [ErrorDetail(told, "other-count")]})
        names |= {one.code: path, f"moving_{one.code}": path}
    counted = [CountedIn(one, CountLine.How.SEALED) for one in said["sealed"]]
    counted += said["weighed"]
    counted += [CountedIn(one, CountLine.How.LAST_TICKET) for one in said["at_last_ticket"]]
    counted += [CountedIn(one, CountLine.How.MISSING) for one in said["not_found"]]
    answered = {one.container.code for one in counted}
    moving = [_moving(one, waiting) for one in known.values() if one.waits_for is not None]
    out = [one for one in moving if one.container.code not in answered]
    rest = [one for one in _asked(mine) if one.waits_for is None and one.code not in answered]
    _refuse_unanswered(said, out, rest)
    if said["rest"] == NOT_FOUND:
        counted += [CountedIn(one, CountLine.How.MISSING) for one in rest]
        rest = []
    why = phrase("no tick and no weight")
    left_out = [*((one.container, one.why_out) for one in out), *((one, why) for one in rest)]
    return CountIn(on, counted, left_out), names


def _named(said: Mapping[str, Any]) -> Iterator[tuple[str, Container]]:
    """Every container of the request, with its path."""
    for name in ("sealed", "at_last_ticket", "waiting", "not_found"):
        yield from ((f"{name}.{number}", one) for number, one in enumerate(said[name]))
    yield from ((f"weighed.{number}.reading", one.container) for number, one in enumerate(said["weighed"]))


def _asked(cabinet: Sequence[Shelf]) -> list[Container]:
    """What needs an answer; what an earlier count missed may turn up, and needs none."""
    return sorted((one for s in cabinet for one in (*s.cans, *s.cylinders)), key=lambda one: one.code)


def _moving(one: Container, waiting: Mapping[str, Waiting]) -> Moving:
    known = waiting.get(one.code)
    return Moving(one, known, "" if known is None or known.why_not else one.code)


def _refuse_unanswered(said: Mapping[str, Any], out: Sequence[Moving], rest: Sequence[Container]) -> None:
    waits = {one.code for one in said["waiting"]}
    sentence = _("Say whether it waits, or is counted at its last ticket.")
    found = [
        blocked("count-undecided", f"{one.container.code}: {sentence}", "waiting")
        for one in out
        if one.question and one.container.code not in waits
    ]
    if rest and said["rest"] is None:
        codes = ", ".join(one.code for one in rest[:SHOWN]) + (", …" if len(rest) > SHOWN else "")
        sentence = _("No tick and no weight for %(codes)s. Say what that means.") % {"codes": codes}
        found.append(blocked("count-rest", sentence, "rest"))
    if found:
        raise Refused(found)
