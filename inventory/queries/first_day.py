"""How far a shop's first day has come, from what is on its lists."""

from __future__ import annotations

from datetime import date

from inventory.core.first_day import FirstDay, Step, first_day
from inventory.models import ContainerType
from shop.core.roles import Role
from shop.models import Equipment, Establishment
from shop.queries import in_service, people, work_day


def how_far(establishment: Establishment, day: date) -> FirstDay:
    """The six steps. An owner who works alone is somebody who works on air conditioning once their card is on file."""
    here = [one for one in people(establishment) if one.is_active]
    done = {
        Step.SHOP: all((establishment.name, establishment.address, establishment.phone)),
        Step.PEOPLE: any(one.role == Role.TECHNICIAN or one.cards.all() for one in here),
        Step.CARDS: any(work_day(one, day).in_force for one in here),
        Step.MACHINE: in_service(establishment, day, Equipment.Kind.MACHINE).exists(),
        Step.KINDS: ContainerType.objects.exists(),
        Step.SCALE: in_service(establishment, day, Equipment.Kind.SCALE).exists(),
    }
    return first_day([step for step, is_done in done.items() if is_done])
