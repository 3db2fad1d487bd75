"""Reads the whole book for ``verify``: balances two ways, guards, hashes, chain, numbers."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterator

from django.db import connection
from django.db.models import F, Q, Sum

from compliance.core.book import (
    EditionRow,
    LinkRow,
    PaperRow,
    PhotoRow,
    chain_findings,
    edition_findings,
    number_findings,
    paper_findings,
    photo_findings,
)
from compliance.core.certificate_facts import CertificateFacts
from compliance.models import Closing, Correction, Document, DoerPutRight, Job, Link, Photo
from compliance.queries.buried import Buried
from compliance.queries.doers import is_told
from compliance.queries.finding import charged_in
from compliance.queries.packs import packs_on_file
from inventory.models import (
    Attachment,
    Container,
    Delivery,
    EarlierPaper,
    FoundCan,
    HoseMeasure,
    MonthBalance,
    Movement,
    ReturnSlip,
    SwapSlip,
)
from shop.core.canonical import rebuild, sha256
from shop.core.findings import Finding, blocked
from shop.core.mass import ZERO, Mass
from shop.models import Establishment
from shop.records import expected_triggers, present_triggers


def whole_book_findings() -> list[Finding]:
    """Everything that is wrong with the book; an empty list when it is whole."""
    buried = Buried()
    return [
        *_guards(),
        *_balances(),
        *_movements(),
        *_months(),
        *_closings(buried),
        *_corrections(buried),
        *edition_findings(_editions(), {pack.key: pack.sha256 for pack in packs_on_file()}),
        *chain_findings(_links()),
        *paper_findings(_papers(buried)),
        *photo_findings(_photos(buried)),
        *photo_findings(_attachments()),
        *buried.findings(),
        *_numbers(),
    ]


def _guards() -> list[Finding]:
    missing = expected_triggers(connection.vendor) - present_triggers(connection)
    return [
        blocked("guard-missing", f"The database guard {name} is missing. Run: python3 run.py manage migrate")
        for name in sorted(missing)
    ]


def _balances() -> list[Finding]:
    """Each container's content, once summed row by row here and once by the database; never below nothing."""
    by_row: dict[str, int] = defaultdict(int)
    for source, target, mass in Movement.objects.values_list("source_id", "target_id", "mass").iterator():
        by_row[source] -= mass.ug
        by_row[target] += mass.ug
    by_sum: dict[str, int] = defaultdict(int)
    for place, mass in Movement.objects.order_by().values_list("target_id").annotate(moved=Sum("mass")):
        by_sum[place] += mass.ug
    for place, mass in Movement.objects.order_by().values_list("source_id").annotate(moved=Sum("mass")):
        by_sum[place] -= mass.ug
    inside = set(Container.objects.values_list("pk", flat=True))
    found = [
        blocked("balances-differ", f"{place}: row by row {by_row[place]} µg, summed {by_sum[place]} µg.")
        for place in sorted(by_row.keys() | by_sum.keys())
        if by_row[place] != by_sum[place]
    ]
    if sum(by_row.values()) != 0:
        found.append(blocked("mass-not-conserved", "All places together do not balance to nothing."))
    found += [
        blocked("below-nothing", f"{place} holds less than nothing by the book.")
        for place in sorted(inside)
        if by_row[place] < 0
    ]
    return found


def _movements() -> list[Finding]:
    astray = Movement.objects.exclude(
        on=F("entry__on"),
        establishment=F("entry__establishment"),
        source_kind=F("source__kind"),
        target_kind=F("target__kind"),
    )
    mixed = Movement.objects.filter(
        Q(source__container__isnull=False) & ~Q(source__container__refrigerant=F("refrigerant"))
        | Q(target__container__isnull=False) & ~Q(target__container__refrigerant=F("refrigerant"))
    )
    return [
        blocked("movement-astray", f"Movement {pk} does not repeat its entry and its places truly.")
        for pk in astray.values_list("pk", flat=True)[:20]
    ] + [
        blocked("movement-mixed", f"Movement {pk} puts one refrigerant into a container of another.")
        for pk in mixed.values_list("pk", flat=True)[:20]
    ]


def _months() -> list[Finding]:
    """Each closed month's kept sums against the rows they were made from."""
    found = []
    kept = MonthBalance.objects.values_list("establishment", "last_day").distinct().order_by()
    for shop, last_day in kept:
        rows = Movement.objects.filter(establishment=shop, on__lte=last_day).order_by()
        key = ("refrigerant_id", "purpose", "source_kind", "target_kind")
        counted = {tuple(parts): mass for *parts, mass in rows.values_list(*key).annotate(moved=Sum("mass"))}
        balance = MonthBalance.objects.filter(establishment=shop, last_day=last_day)
        stored = {tuple(parts): mass for *parts, mass in balance.values_list(*key, "mass")}
        if counted != stored:
            found.append(
                blocked(
                    "month-differs",
                    f"The sums kept for the months up to {last_day} are not those of the rows.",
                )
            )
    return found


def _closings(buried: Buried) -> list[Finding]:
    found = []
    rows = Closing.objects.select_related("job", "link", "entry").prefetch_related(
        "certificates", "entry__movements"
    )
    for closing in rows:
        signed = buried.stood("compliance_closing", closing.pk, "facts", closing.facts)
        if signed is not None and sha256(signed) not in closing.link.body:
            found.append(
                blocked("closing-changed", f"{closing.job}: what was signed is not what the chain holds.")
            )
        if not closing.certificates.all():
            found.append(blocked("certificate-missing", f"{closing.job} is closed without a certificate."))
        charged = any(row.purpose == "charged" and row.mass > ZERO for row in closing.entry.movements.all())
        if charged:
            found += _charged_differs(closing)
    return found


def _charged_differs(closing: Closing) -> list[Finding]:
    """What the signed facts say went into the car is what the book moved, also when a job was stopped after its
    leak-test charge, and when nothing but the book is left to hold cleared facts against."""
    into = sum(row.mass.ug for row in closing.entry.movements.all() if row.purpose == "charged")
    stated = re.search(r'"vehicle_ug":(\d+)', closing.facts)
    if stated is None or Mass(into) != Mass(int(stated.group(1))):
        return [
            blocked(
                "charge-differs",
                f"{closing.job}: the book and the signed facts differ on what went into the car.",
            )
        ]
    return []


def _corrections(buried: Buried) -> list[Finding]:
    """A slip is what the chain holds, and after the newest slip of a job the book moved what its paper prints."""
    found = []
    newest: dict[int, Correction] = {}
    for slip in Correction.objects.select_related("link", "closing__job", "document").order_by("pk"):
        signed = buried.stood("compliance_correction", slip.pk, "facts", slip.facts)
        if signed is not None and sha256(signed) not in slip.link.body:
            found.append(blocked("slip-changed", f"{slip}: what was signed is not what the chain holds."))
        newest[slip.closing_id] = slip
        found += _doers(slip, slip.facts if signed is None else signed)
    for slip in newest.values():
        facts = rebuild(CertificateFacts, slip.document.facts)
        put_in = charged_in([slip.closing.job]).get(slip.closing.job_id, ZERO)
        plain = facts.charge is not None and not slip.closing.job.mischarges.exists()
        if plain and facts.charge is not None and put_in.ug != facts.charge.vehicle_ug:
            found.append(blocked("slip-differs", f"{slip}: the book and the paper differ on what went in."))
    return found


def _doers(slip: Correction, signed: str | bytes) -> Iterator[Finding]:
    """Who a slip says did a stage is who stands there now; a clearing leaves that in what was signed."""
    try:
        told = {key: now for key, _, now in json.loads(signed)["fields"]}
    except ValueError:
        return  # not what the chain holds, which is said already
    for field in slip.fields.select_related("doer__person"):
        doer: DoerPutRight | None = getattr(field, "doer", None)
        if (doer is not None or field.key.endswith("-by")) and not is_told(doer, told.get(field.key, "")):
            yield blocked("doer-differs", f"{slip}: {field.label} is not whom the slip names.")


def _editions() -> Iterator[EditionRow]:
    rows = Closing.objects.order_by("pk").values_list("job__number", "facts")
    for job, facts in rows.iterator():
        try:
            signed = json.loads(facts)
        except ValueError:  # somebody wrote into it: that is said of the closing
            continue
        for edition, seal in signed.get("asked", {}).get("packs", []):
            yield EditionRow(job, edition, seal)


def _links() -> Iterator[LinkRow]:
    rows = Link.objects.select_related("establishment").order_by("establishment_id", "place")
    for link in rows.iterator():
        yield LinkRow(link.establishment.name, link.place, link.before, link.body, link.hash)


def _papers(buried: Buried) -> Iterator[PaperRow]:
    for paper in Document.objects.select_related("link").order_by("pk").iterator(chunk_size=200):
        facts = buried.stood("compliance_document", paper.pk, "facts", paper.facts)
        pdf = buried.stood("compliance_document", paper.pk, "pdf", bytes(paper.pdf))
        seals = (paper.facts_sha256, paper.pdf_sha256)
        yield PaperRow(str(paper), facts, pdf, *seals, paper.link.body)


def _photos(buried: Buried) -> Iterator[PhotoRow]:
    for photo in Photo.objects.select_related("job").order_by("pk").iterator(chunk_size=50):
        jpeg = buried.stood("compliance_photo", photo.pk, "jpeg", bytes(photo.jpeg))
        if jpeg is not None:
            yield PhotoRow(str(photo), jpeg, photo.sha256)
    for can in FoundCan.objects.exclude(sha256="").order_by("pk").iterator(chunk_size=50):
        yield PhotoRow(f"{can.container_id} as found", bytes(can.jpeg), can.sha256)


def _attachments() -> Iterator[PhotoRow]:
    for paper in Attachment.objects.select_related("delivery").order_by("pk").iterator(chunk_size=20):
        yield PhotoRow(str(paper), bytes(paper.content), paper.sha256)
    for scan in EarlierPaper.objects.order_by("pk").iterator(chunk_size=20):
        yield PhotoRow(str(scan), bytes(scan.content), scan.sha256)


def _numbers() -> list[Finding]:
    found = []
    for shop in Establishment.objects.all():
        named = [
            *Job.objects.filter(establishment=shop).values_list("number", flat=True),
            *Delivery.objects.filter(establishment=shop).values_list("number", flat=True),
            *ReturnSlip.objects.filter(establishment=shop).values_list("number", flat=True),
            *HoseMeasure.objects.filter(establishment=shop).values_list("number", flat=True),
            *SwapSlip.objects.filter(establishment=shop).values_list("number", flat=True),
            *Correction.objects.filter(establishment=shop).values_list("number", flat=True),
            *Document.objects.filter(establishment=shop, version=1).values_list("number", flat=True),
        ]
        series: dict[str, list[int]] = defaultdict(list)
        for name in named:
            start, number = name.rsplit("-", 1)
            series[start].append(int(number))
        for start, numbers in sorted(series.items()):
            found += number_findings(f"{shop.name} {start}", numbers)
    return found
