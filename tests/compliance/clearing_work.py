"""A shop whose first job is past its time, and the owner's steps to clear it, for the tests to compose."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from compliance.core.stages import StageKind
from compliance.models import Clearing, Closing, CustomerChoice, Package, PackAnswer
from compliance.services import (
    AskIn,
    ChoiceIn,
    SpareIn,
    ask_to_clear,
    clear_now,
    confirm_clearing,
    end_hold,
    give_link,
    hand_over,
    make_archive,
    place_hold,
    record_choice,
    set_entry_aside,
    set_photo_aside,
    undo_clearing,
    withdraw_document,
)
from compliance.services.clearing import Cleared
from compliance.sheets.writing import into_zip
from inventory.models import Container
from shop.core.roles import Role
from shop.models import Person
from shop.services import PersonIn, add_person
from tests.compliance.pictures import picture_of
from tests.compliance.work import Bay, rename
from tests.factories import DAY, NOON, PASSWORD, SET_UP_AT, Shop, cans_of, receive

LAST = date(DAY.year + 3, DAY.month, DAY.day)
AFTER = LAST + timedelta(days=1)  # the first day on which the job may be asked about
NEXT = AFTER + timedelta(days=1)
UNTIL = NEXT + timedelta(days=30)  # the last day to undo what was confirmed on NEXT
DUE = UNTIL + timedelta(days=1)
VIN, PHONE = "1M8GDM9AXKP042788", "(555) 010-0177"
PRIVATE = ("Calloway", "SMP-417", "SMP417", "blows warm", "hissing", VIN, PHONE)


def noon(day: date) -> datetime:
    """Noon in the shop on a summer day; an hour off in winter."""
    return datetime.combine(day, time(18), UTC)


def old_job(shop: Shop, first: Container, second: Container) -> Closing:
    """A closed job with words about its customer wherever words go: stages, photos, slips, holds, links."""
    van, note = "Calloway's blue van", "Calloway's own papers"
    bay = Bay.check_in(shop, vin=VIN, description=van, phone=PHONE, source_note=note)
    bay.photograph(caption="Ms Calloway's label")
    wrong = bay.photograph(sent=picture_of("another car"), caption="Ms Calloway's other car")
    set_photo_aside(wrong, why="not Ms Calloway's car", at=bay.later(), by=shop.dev)
    said = ChoiceIn(CustomerChoice.What.REPAIR, "Ines Calloway", "by phone", "Calloway said go on")
    record_choice(bay.job, said, at=bay.later(), by=shop.lee)
    hand_over(bay.job, to=shop.dev, note="Calloway waits", at=bay.later(), by=shop.lee)
    answer = {"code": "sample", "item": "told", "answer": "yes", "reason": "told Ms Calloway"}
    PackAnswer.objects.create(job=bay.job, **answer, at=bay.later(), by=shop.lee)
    typed = {"customer": "Ines Calloway", "plate": "SMP-417"}
    aside = SpareIn("/bay/J24-0001/check-in/", typed, "Ines Calloway, SMP-417", "Plate SMP-417: typed twice.")
    set_entry_aside(bay.job, aside, at=bay.later(), by=shop.dev)
    bay.recover(note="Calloway's van")
    bay.leak_check(detail="Ms Calloway heard it hissing")
    bay.evacuate()
    bay.leave_out(StageKind.LEAK_TEST, "Ms Calloway was in a hurry")
    bay.draw(first, "466", "128", emptied=True)
    bay.draw(second, "464", "293")
    bay.keep_charge()
    bay.finals(vent="44 °F", note="told Ms Calloway")
    closing = bay.close(remark="Ms Calloway wanted it so")
    paper = closing.certificates.get().document
    give_link(paper, given_to="Ines Calloway", seen=True, at=NOON, by=shop.lee)
    rename(paper, "Inez Calloway", "misspelt by Calloway", at=bay.later(), by=shop.marta)
    withdraw_document(paper, why="Calloway's name was wrong", at=bay.later(), by=shop.marta)
    place_hold(bay.job, why="Calloway's insurer", at=bay.later(), by=shop.lee)
    end_hold(bay.job, why="Calloway settled", at=bay.later(), by=shop.marta)
    return closing


def old_job_and_one_on_hold(shop: Shop) -> None:
    """Ms Calloway's job, and Mr Marsh's, which a hold keeps."""
    cans = cans_of(receive(shop))
    closing = old_job(shop, cans[0], cans[1])
    other = Bay.check_in(shop, plate="SMP-999", customer="Tobin Marsh", at=closing.at)
    other.recover("7966", "8000", note="for Mr Marsh")
    other.leak_check()
    other.evacuate()
    other.draw(cans[2], "466", "128", emptied=True)
    other.draw(cans[3], "466", "293")
    other.keep_charge()
    other.finals()
    other.close()
    place_hold(other.job, why="an insurer wrote", at=other.later(), by=shop.lee)


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
