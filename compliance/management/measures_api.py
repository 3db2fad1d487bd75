"""What ``bench`` measures of the API: a write, and a page of fifty, against an answer that says nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import partial
from itertools import cycle
from uuid import uuid4

from django.db import transaction
from django.test import Client
from django.test.utils import override_settings

from compliance.management.alternating import Measure, alternating
from inventory.models import Container
from inventory.queries import in_the_cabinet, last_ticket
from inventory.services import TicketIn, weigh_in_cabinet
from shop.core.mass import Unit
from shop.core.reading import read_mass
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Equipment, Establishment, Person
from shop.services import ProgramKeyIn, make_program_key

SCALE = "SC-1"
WRITES = 10  # in one round, each of another can


def api_measures(rounds: int) -> list[Measure]:
    """Milliseconds of ten weigh tickets, and of one page of fifty."""
    with override_settings(ROOT_URLCONF="compliance.management.empty_view", ALLOWED_HOSTS=["*"]):
        return [_writing(rounds), *_listing(rounds)]


class _Bench:
    """The owner's program at the practice shop, and her hand at the scale."""

    def __init__(self) -> None:
        self.house = Establishment.objects.order_by("pk")[0]
        self.owner = Person.objects.get(establishment=self.house, role=Role.OWNER)
        said = ProgramKeyIn("bench", Role.OWNER, tuple(Scope), 1)
        _, key = make_program_key(said, at=now(), by=self.owner)
        self.client, self.headers = Client(), {"Authorization": f"Bearer {key}"}

    def read(self, address: str) -> None:
        answer = self.client.get(address, headers=self.headers)
        assert answer.status_code == 200, answer.content  # noqa: S101 - a bench that measures refusals lies

    def cans(self) -> Iterator[tuple[str, str]]:
        """Opened cans of the cabinet in turn for ever, each with what its last ticket said."""
        here = in_the_cabinet(self.house).filter(kind="can", spoken_for=None)
        last = [(can, ticket) for can in here if (ticket := last_ticket(can))]
        return cycle([(can.code, one.reading_text) for can, one in last if one.scale.code == SCALE])

    def write(self, can: str, text: str) -> None:
        body = {"scale": SCALE, "reading": {"value": text, "unit": "g"}, "seen": []}
        headers = self.headers | {
            "Idempotency-Key": f"bench-{uuid4()}"
        }  # one used before is answered, not written
        address = f"/api/containers/{can}/tickets/"
        answer = self.client.post(address, json.dumps(body), content_type="application/json", headers=headers)
        assert answer.status_code == 201, answer.content  # noqa: S101

    def weigh(self, can: str, text: str) -> None:
        """The same by the service alone, from the same words: nobody has a can and a scale at hand for free."""
        with transaction.atomic():
            container = Container.objects.select_related("can__type", "establishment").get(pk=can)
            scale = Equipment.objects.get(establishment=self.house, code=SCALE)
            reading, _ = read_mass(text, Unit.G, division=scale.division)
            assert reading is not None  # noqa: S101
            weigh_in_cabinet(container, TicketIn(scale, reading), at=now(), by=self.owner)


def _writing(rounds: int) -> Measure:
    bench = _Bench()
    cans = bench.cans()

    def through_the_api() -> None:
        for _ in range(WRITES):
            bench.write(*next(cans))

    def service_and_empty_answer() -> None:
        for _ in range(WRITES):
            bench.weigh(*next(cans))
            bench.read("/api/nothing/")

    times = alternating(through_the_api, service_and_empty_answer, rounds)
    return Measure(f"API: {WRITES} weigh tickets, against service + empty answer", *times, 1.3)


def _listing(rounds: int) -> Iterator[Measure]:
    bench = _Bench()
    for address in ("/api/book/?size=50", "/api/containers/?size=50"):
        ours = alternating(partial(bench.read, address), partial(bench.read, "/api/nothing/"), rounds)
        yield Measure(f"API: {address}, against an empty answer", *ours, 3.0)
