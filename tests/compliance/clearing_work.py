"""A shop whose first job is past its time, and the owner's steps to clear it, for the tests to compose."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from compliance.models import Clearing, Closing, Package
from compliance.services import (
    AskIn,
    ask_to_clear,
    clear_now,
    confirm_clearing,
    give_link,
    make_archive,
    undo_clearing,
)
from compliance.services.clearing import Cleared
from compliance.sheets.writing import into_zip
from inventory.models import Container
from shop.core.roles import Role
from shop.models import Person
from shop.services import PersonIn, add_person
from tests.compliance.work import Bay, rename
from tests.factories import DAY, NOON, PASSWORD, SET_UP_AT, Shop

LAST = date(DAY.year + 3, DAY.month, DAY.day)
AFTER = LAST + timedelta(days=1)  # the first day on which the job may be asked about
NEXT = AFTER + timedelta(days=1)
UNTIL = NEXT + timedelta(days=30)  # the last day to undo what was confirmed on NEXT
DUE = UNTIL + timedelta(days=1)
PRIVATE = ("Calloway", "SMP-417", "SMP417", "blows warm", "hissing", "1M8GDM9AXKP042788")
VIN = "1M8GDM9AXKP042788"


def noon(day: date) -> datetime:
    """Noon in the shop on a summer day; an hour off in winter."""
    return datetime.combine(day, time(18), UTC)


def old_job(shop: Shop, first: Container, second: Container) -> Closing:
    """A closed job with a photo, a link, a second version of its certificate, and words in its stages."""
    bay = Bay.check_in(shop, vin=VIN)
    bay.photograph(caption="Ms Calloway's label")
    bay.recover()
    bay.leak_check(detail="Ms Calloway heard it hissing")
    bay.evacuate()
    bay.draw(first, "466", "128", emptied=True)
    bay.draw(second, "464", "293")
    bay.keep_charge()
    bay.finals(vent="44 °F", note="told Ms Calloway")
    closing = bay.close()
    paper = closing.certificates.get().document
    give_link(paper, given_to="Ines Calloway", seen=True, at=NOON, by=shop.lee)
    rename(paper, "Inez Calloway", "misspelt by Calloway", at=bay.later(), by=shop.marta)
    return closing


def archive_on(shop: Shop, day: date = AFTER) -> Package:
    return make_archive(shop.establishment, into_zip(io.BytesIO()), today=day, at=noon(day), by=shop.marta)


def another_owner(shop: Shop, name: str = "Otis Quill") -> Person:
    said = PersonIn(name, name.split()[0].lower(), Role.OWNER, PASSWORD)
    return add_person(said, shop.establishment, at=SET_UP_AT, by=shop.marta)


@dataclass
class Owner:
    """Marta's steps, each at noon of a day; ``by`` lets somebody else take one."""

    shop: Shop

    def ask(
        self, archive: Package, day: date = AFTER, *, sha256: str = "", by: Person | None = None
    ) -> Clearing:
        said = AskIn(archive, sha256 or archive.sha256)
        by = by or self.shop.marta
        return ask_to_clear(self.shop.establishment, said, today=day, at=noon(day), by=by)

    def confirm(self, clearing: Clearing, day: date = NEXT, *, by: Person | None = None) -> Cleared:
        return confirm_clearing(clearing, today=day, at=noon(day), by=by or self.shop.marta)

    def undo(self, clearing: Clearing, day: date, *, by: Person | None = None) -> None:
        undo_clearing(clearing, why="an insurer wrote", today=day, at=noon(day), by=by or self.shop.marta)

    def clear(self, clearing: Clearing, day: date = DUE, *, by: Person | None = None) -> Cleared:
        return clear_now(clearing, today=day, at=noon(day), by=by or self.shop.marta)

    def put_away(self) -> Clearing:
        """Archived, asked and confirmed."""
        clearing = self.ask(archive_on(self.shop))
        self.confirm(clearing)
        return clearing


def hash_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
