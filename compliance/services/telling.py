"""What other programs are told of closed jobs and signed reports: figures and numbers, no customer, car or price."""

from __future__ import annotations

from django.conf import settings

from compliance.core.job import JobFacts
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import Closing, Document
from shop.core.mass import Mass
from shop.core.outgoing import What, told_mass, told_reading
from shop.services import tell


def tell_closed(closing: Closing, facts: JobFacts, certificate: Document) -> None:
    """A job was closed: what each can weighed as typed, and where its refrigerant went."""
    told: dict[str, object] = {
        "job": facts.number,
        "day": closing.on.isoformat(),
        "refrigerant": facts.refrigerant,
        "charged": closing.charged,
        "recovered": [told_mass(one.out) for one in facts.recoveries],
        "certificate": _paper(certificate),
    }
    if (sums := facts.reconciliation) is not None:
        told["cans"] = [
            {
                "can": draw.code,
                "before": told_reading(draw.before.reading),
                "after": told_reading(draw.after.reading),
                "out": told_mass(draw.out),
            }
            for draw in sums.draws
        ]
        losses = sums.losses
        told["into"] = {
            "vehicle": told_mass(sums.vehicle),
            "hoses": told_mass(losses.hoses),
            "air": told_mass(losses.purge + losses.released),
            "cylinder": told_mass(losses.recovered_back),
        }
        told["give_or_take_g"] = f"{sums.expanded_g:.1f}"  # about 95 %
    tell(closing.job.establishment, What.JOB_CLOSED, told, at=closing.at, by=closing.by)


def tell_signed(report: Document, facts: UsageReportFacts) -> None:
    """A usage report was signed, or a new version of one: its days, and the sums of new refrigerant."""
    told = {
        "report": _paper(report),
        "first": facts.first,
        "last": facts.last,
        "new": [
            {
                "refrigerant": line.refrigerant,
                "received": told_mass(Mass(line.received_ug)),
                "into_vehicles": told_mass(Mass(line.vehicles_ug)),
                "released": told_mass(Mass(line.released_ug)),
                "expected": told_mass(Mass(line.expected_ug)),
            }
            for line in facts.new
        ],
    }
    tell(report.establishment, What.REPORT_SIGNED, told, at=report.at, by=report.by)


def _paper(document: Document) -> dict[str, object]:
    """A paper by number, the SHA-256 of its PDF, and its page for who may sign on."""
    return {
        "number": document.number,
        "version": document.version,
        "pdf_sha256": document.pdf_sha256,
        "page": f"{settings.SITE_URL}/papers/{document.number}/{document.version}/",
    }
