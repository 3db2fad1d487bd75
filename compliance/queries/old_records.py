"""Old records: what is past its time on a day, what holds it, what newer work still stands on it."""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterable, Iterator
from datetime import date

from django.db.models import Max, Model, Q

from compliance.core.old import KEPT_AS, Old, OldKind
from compliance.core.packs.stacking import Kept
from compliance.core.stages import NEED_A_CARD
from compliance.models import (
    Archived,
    CanTicket,
    CaseFile,
    Closing,
    Document,
    Job,
    KeepChoice,
    Recovery,
    Stage,
    Visit,
)
from compliance.queries.cleared import hidden
from compliance.queries.facts import local
from compliance.queries.holds import on_hold, running
from compliance.queries.packs import keep_until
from compliance.queries.statements import machines, statements
from inventory.models import Delivery, EarlierPaper, Shipment
from inventory.queries import in_the_cabinet
from shop.core.phrase import phrase
from shop.models import Card, Establishment, Person

NUMBER = re.compile(r"\b[A-Z]{1,3}\d\d-\d{4,}\b")
Found = Iterator[tuple[int, str, date, Model, str]]  # row, number, anchor, what a hold is asked of, needed by


def keep_choice(establishment: Establishment) -> KeepChoice | None:
    """The newest word on keeping everything for ever."""
    return KeepChoice.objects.filter(establishment=establishment).select_related("by").last()


def kept_for_ever(establishment: Establishment) -> bool:
    choice = keep_choice(establishment)
    return choice is not None and choice.for_ever


def keeping(establishment: Establishment, day: date) -> dict[OldKind, Kept]:
    """For each kind the longest time that anybody asks for, by the rules of that day."""
    return {kind: keep_until(establishment, record, day) for kind, record in KEPT_AS.items()}


def old_records(establishment: Establishment, day: date) -> list[Old]:
    """Everything past its time, the oldest of each kind first; nothing when the shop keeps all of it for ever."""
    return [] if kept_for_ever(establishment) else list(_Old(establishment, day).all())


class _Old:
    """One look at the shop on one day. Jobs are asked first, because cards, statements and deliveries stand or fall
    with them."""

    def __init__(self, establishment: Establishment, day: date) -> None:
        self.house, self.day = establishment, day
        self.kept = keeping(establishment, day)
        self.any_hold = running(establishment).exists()
        rows = Archived.objects.filter(package__establishment=establishment)
        self.archived = set(rows.values_list("kind", "key", "anchor"))
        self.gone: set[int] = set()  # jobs that nothing keeps any more
        self.cleared = set(hidden(establishment).values_list("job", flat=True))

    def all(self) -> Iterator[Old]:
        jobs = list(self._of(OldKind.JOB, self._jobs()))
        self.gone = {one.pk for one in jobs if one.is_free or one.cleared}
        yield from jobs
        yield from self._of(OldKind.REPORT, self._reports())
        yield from self._of(OldKind.DELIVERY, self._deliveries())
        yield from self._of(OldKind.SHIPMENT, self._shipments())
        yield from self._of(OldKind.CARD, self._cards())
        yield from self._of(OldKind.STATEMENT, self._statements())
        yield from self._of(OldKind.EARLIER, self._earlier())

    def _of(self, kind: OldKind, found: Found) -> Iterator[Old]:
        for pk, key, anchor, held_by, needed in sorted(found, key=lambda one: (one[2], one[0])):
            known = (kind.value, key, anchor) in self.archived
            last = self.kept[kind].last_day(anchor)
            held = self.any_hold and not isinstance(held_by, _NOT_HELD) and on_hold(held_by)
            cleared = kind is OldKind.JOB and pk in self.cleared
            yield Old(kind, pk, key, anchor, last, held, needed, known, cleared)

    def _past(self, kind: OldKind, anchor: date) -> bool:
        return self.day > self.kept[kind].last_day(anchor)

    def _before(self, kind: OldKind) -> date:
        """No record counted from this day or a later one is past its time."""
        return date(self.day.year - self.kept[kind].years, 12, 31)

    def _jobs(self) -> Found:
        shown = self._shown()
        rows = Closing.objects.filter(job__establishment=self.house, on__lte=self._before(OldKind.JOB))
        dated = rows.annotate(
            paper=Max("certificates__document__at"), case=Max("job__case_files__document__at")
        )
        for one in dated.select_related("job").defer("facts").iterator(chunk_size=500):
            signed = [local(self.house, at).date() for at in (one.paper, one.case) if at is not None]
            anchor = max(one.on, *signed)
            if self._past(OldKind.JOB, anchor):
                yield one.job_id, one.job.number, anchor, one.job, shown.get(one.job_id, "")

    def _shown(self) -> dict[int, str]:
        """Jobs that a visit saw or took a copy of, by number of job or paper, while the visit's own years run."""
        numbers: dict[str, str] = {}
        rows = Visit.objects.filter(establishment=self.house, at__year__gte=self._before(OldKind.JOB).year)
        for visit in rows.prefetch_related("shown", "copies", "questions"):
            if not self._past(OldKind.JOB, local(self.house, visit.at).date()):
                numbers |= dict.fromkeys(_numbers(visit), visit.number)
        mine = Q(job__number__in=numbers) | Q(certificates__document__number__in=numbers)
        found = Closing.objects.filter(mine, job__establishment=self.house) if numbers else ()
        cases = CaseFile.objects.filter(document__number__in=numbers, job__establishment=self.house)
        seen = [*(one.job_id for one in found), *(one.job_id for one in cases)]
        papers = _papers_of(seen)
        return {
            job: phrase(
                "visit {visit} saw it", visit=next(numbers[one] for one in papers[job] if one in numbers)
            )
            for job in seen
        }

    def _reports(self) -> Found:
        rows = Document.objects.filter(establishment=self.house, kind=Document.Kind.USAGE_REPORT)
        for one in rows.defer("facts", "pdf").select_related("usage_report"):
            signed = local(self.house, one.at).date()
            if self._past(OldKind.REPORT, signed):
                yield one.pk, str(one), signed, one, ""

    def _deliveries(self) -> Found:
        rows = Delivery.objects.filter(establishment=self.house, on__lte=self._before(OldKind.DELIVERY))
        past = {one.pk: one for one in rows if self._past(OldKind.DELIVERY, one.on)}
        here = in_the_cabinet(self.house).filter(delivered__line__delivery__in=past)
        shelf = set(here.values_list("delivered__line__delivery", flat=True))
        used: dict[int, set[int]] = {}
        tickets = CanTicket.objects.filter(ticket__container__delivered__line__delivery__in=past)
        for delivery, job in tickets.values_list("ticket__container__delivered__line__delivery", "job"):
            used.setdefault(delivery, set()).add(job)
        for pk, one in past.items():
            needed = (
                phrase("a can of it is in the cabinet") if pk in shelf else self._jobs_kept(used.get(pk, ()))
            )
            yield pk, one.number, one.on, one, needed

    def _shipments(self) -> Found:
        rows = Shipment.objects.filter(establishment=self.house, on__lte=self._before(OldKind.SHIPMENT))
        for one in rows.annotate(ticket=Max("receipt__on"), paper=Max("records__document__dated")):
            anchor = max(day for day in (one.on, one.ticket, one.paper) if day is not None)
            if self._past(OldKind.SHIPMENT, anchor):
                yield one.pk, one.number, anchor, one, ""

    def _cards(self) -> Found:
        rows = Card.objects.filter(person__establishment=self.house).select_related("person")
        for one in rows.prefetch_related("person__authorisations__end"):
            ended = _authorised_until(one.person)
            if ended is None or not self._past(OldKind.CARD, ended):
                continue
            done = Q(by=one.person) | Q(corrected__doer__person=one.person)
            mine = Stage.objects.filter(done, kind__in=NEED_A_CARD).order_by()
            needed = self._jobs_kept(mine.values_list("job", flat=True).distinct())
            yield one.pk, one.number, ended, one, needed

    def _statements(self) -> Found:
        known = {machine.code: machine for machine in machines(self.house)}
        for one in statements(self.house):
            mine = [known[each.code] for each in one.facts.machines if each.code in known]
            ends = [each.retirement.last_day for each in mine if hasattr(each, "retirement")]
            if len(ends) < len(mine) or not ends:
                continue  # a machine that it lists is in service, so its years have not begun
            anchor = max(*ends, one.document.dated)
            if self._past(OldKind.STATEMENT, anchor):
                used = Recovery.objects.filter(machine__in=mine).order_by()
                needed = self._jobs_kept(used.values_list("stage__job", flat=True).distinct())
                held = next((each for each in mine if self.any_hold and on_hold(each)), one.document)
                yield one.document.pk, str(one.document), anchor, held, needed

    def _earlier(self) -> Found:
        for one in EarlierPaper.objects.filter(establishment=self.house).defer("content"):
            anchor = one.month.replace(day=calendar.monthrange(one.month.year, one.month.month)[1])
            if self._past(OldKind.EARLIER, anchor):
                yield one.pk, f"{one.month:%Y-%m} {one.pk}", anchor, one, ""

    def _jobs_kept(self, jobs: Iterable[int]) -> str:
        """How many jobs that have to be kept stand on something, in words; "" when none does."""
        kept = [pk for pk in jobs if pk not in self.gone]
        if not kept:
            return ""
        number = Job.objects.only("number").get(pk=max(kept)).number
        if len(kept) == 1:
            return phrase("job {job} stands on it", job=number)
        return phrase("{count} jobs stand on it, the newest {job}", count=len(kept), job=number)


_NOT_HELD = (Delivery, Shipment, EarlierPaper)  # no hold on a job speaks of these


def _numbers(visit: Visit) -> set[str]:
    """The numbers of jobs and papers in what was written down of a visit."""
    told = [one.what for one in visit.copies.all()] + [one.question for one in visit.questions.all()]
    told += [f"{one.what} {one.address}" for one in visit.shown.all()]
    return set(NUMBER.findall(" ".join(told).upper()))


def _papers_of(jobs: Iterable[int]) -> dict[int, list[str]]:
    """The numbers that each job goes by: its own and those of its papers."""
    rows = Job.objects.filter(pk__in=list(jobs))
    keys = ("pk", "number", "closing__certificates__document__number", "case_files__document__number")
    found: dict[int, list[str]] = {}
    for pk, *numbers in rows.values_list(*keys):
        found.setdefault(pk, []).extend(number for number in numbers if number)
    return found


def _authorised_until(person: Person) -> date | None:
    """The end of the last authorisation; None while one runs. A card that nobody was ever authorised under counts
    from when its bearer left, or stays."""
    stretches = list(person.authorisations.all())
    if any(not hasattr(one, "end") for one in stretches):
        return None
    if stretches:
        return max(one.end.last_day for one in stretches)
    leaving = person.leavings.last()
    return leaving.last_day if leaving is not None else None
