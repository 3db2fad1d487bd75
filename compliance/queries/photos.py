"""Reads about photos, without their bytes."""

from __future__ import annotations

from django.db.models import QuerySet

from compliance.core.stages import StageKind
from compliance.models import CanTicket, Document, Job, Photo, Stage
from shop.core.vin import normalised
from shop.models import Establishment, Vehicle
from shop.queries import vehicle_by


def photos_of(job: Job, stage: StageKind | None = None) -> QuerySet[Photo]:
    """A job's photos, or those of one stage, as they were taken; also those set aside, none that was cleared."""
    rows = job.photos.exclude(jpeg=b"").defer("jpeg").select_related("by", "set_aside__by")
    return rows.all() if stage is None else rows.filter(stage=stage)


def photos_beside(document: Document) -> QuerySet[Photo]:
    """The photos of the job of a certificate or case file; a closed job took no more of them. None beside another
    paper."""
    if document.kind == Document.Kind.CASE_FILE:
        return photos_of(document.case_file.job).filter(set_aside=None)
    if document.kind != Document.Kind.CERTIFICATE:
        return Photo.objects.none()
    return photos_of(document.certificate.closing.job).filter(set_aside=None)


def label_photo(vehicle: Vehicle) -> Photo | None:
    """The newest label photo of this vehicle's visits that was not set aside."""
    rows = Photo.objects.shown().filter(
        job__vehicle=vehicle, job__establishment=vehicle.establishment_id, what=Photo.What.LABEL
    )
    return rows.defer("jpeg").select_related("job", "by").order_by("-at", "-pk").first()


def label_photo_by(establishment: Establishment, *, vin: str, plate: str) -> Photo | None:
    """The label photo of a car told by its VIN or plate, when it was here before."""
    vehicle = vehicle_by(establishment, vin=normalised(vin), plate=plate.strip().upper())
    return None if vehicle is None else label_photo(vehicle)


def stage_reached(job: Job) -> StageKind:
    """The stage that was written down last, or the charge when a can was weighed since."""
    newest = Stage.objects.filter(job=job).order_by("-pk")[0]  # a job is made by its check-in
    weighed = CanTicket.objects.filter(job=job, at__gte=newest.at).exists()
    return StageKind.CHARGE if weighed else StageKind(newest.kind)
