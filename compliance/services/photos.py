"""Photos of an open job, and the ones taken by mistake."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from compliance.core.stages import StageKind
from compliance.models import Closing, Job, Photo, PhotoSetAside
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.models import Person
from shop.services.cleaning import CleanPhoto

MOST = 60  # photos of one job; more than that is a slip, and every one of them goes into each backup


@dataclass(frozen=True, slots=True)
class PhotoIn:
    """A picture that was cleaned, what it shows, and at which stage it was taken."""

    picture: CleanPhoto
    what: Photo.What
    stage: StageKind
    caption: str = ""


@transaction.atomic
def keep_photo(job: Job, photo: PhotoIn, *, at: datetime, by: Person) -> Photo:
    """Keep a photo. The same picture sent again for the same stage is answered with the one that is kept.

    Refused on a closed job, and for a picture that was set aside.
    """
    _hold(job)
    picture = photo.picture
    known = Photo.objects.filter(job=job, stage=photo.stage, sha256=picture.sha256).first()
    refuse_if_blocked(_photo_problems(job, known))
    return known or Photo.objects.create(
        job=job,
        what=photo.what,
        stage=photo.stage,
        jpeg=picture.jpeg,
        sha256=picture.sha256,
        width=picture.width,
        height=picture.height,
        caption=photo.caption.strip(),
        at=at,
        by=by,
    )


@transaction.atomic
def set_photo_aside(photo: Photo, *, why: str, at: datetime, by: Person) -> PhotoSetAside:
    """Show a photo no longer, and say why. Also after the job is closed: nothing signed speaks of it."""
    _hold(photo.job)
    found = []
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", "Say why in a few words.", "why"))
    if PhotoSetAside.objects.filter(photo=photo).exists():
        found.append(blocked("set-aside-already", "This photo was set aside already.", ""))
    refuse_if_blocked(found)
    return PhotoSetAside.objects.create(photo=photo, why=why.strip(), at=at, by=by)


def _hold(job: Job) -> None:
    """Lock the job, so that the same photo from two phones, or a photo and the closing, come one after the other."""
    Job.objects.select_for_update(no_key=True).get(pk=job.pk)


def _photo_problems(job: Job, known: Photo | None) -> list[Finding]:
    found = []
    if Closing.objects.filter(job=job).exists():
        found.append(blocked("job-closed", f"{job.number} is closed. It takes no more photos.", "photo"))
    if known is not None and hasattr(known, "set_aside"):
        sentence = f"This photo was set aside: {known.set_aside.why}. Take a new one."
        found.append(blocked("photo-set-aside", sentence, "photo"))
    if known is None and Photo.objects.filter(job=job).count() >= MOST:
        sentence = f"{job.number} has {MOST} photos already, and that is the most a job keeps."
        found.append(blocked("photos-too-many", sentence, "photo"))
    return found
