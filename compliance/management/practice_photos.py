"""The practice shop's photos: words on a sheet, drawn here, kept by the service that keeps every photo."""

from __future__ import annotations

import io

from django.conf import settings
from PIL import Image, ImageDraw, ImageFont

from compliance import services as bay
from compliance.core.stages import StageKind
from compliance.management.practice_work import Work
from compliance.models import Photo
from shop.services.cleaning import clean_photo

FACE = settings.BASE_DIR / "compliance" / "fonts" / "AtkinsonHyperlegibleNext-Bold.ttf"
SIZE, INK = (1200, 900), "#1d1a15"


def photograph_label(work: Work) -> Photo:
    """The label under the hood of this job's car, as it was read at check-in."""
    row = work.row
    label = (row["refrigerant"], f"{row['label_g']} g +/- {row['tolerance_g']} g", "SAMPLE")
    return _kept(work, Photo.What.LABEL, StageKind.CHECK_IN, sheet_of(label, "#e9d9a8"), row["description"])


def photograph_scale(work: Work) -> Photo:
    """The scale at this job's last weighing."""
    ticket = work.job.can_tickets.select_related("ticket").order_by("-pk")[0].ticket
    shown = (f"{ticket.reading_text} {ticket.reading_unit}",)
    return _kept(work, Photo.What.SCALE, StageKind.CHARGE, sheet_of(shown, "#b9c4a4"), ticket.container_id)


def _kept(work: Work, what: Photo.What, stage: StageKind, drawn: bytes, caption: str) -> Photo:
    photo = bay.PhotoIn(clean_photo(drawn), what, stage, caption)
    return bay.keep_photo(work.job, photo, at=work.clock, by=work.by)


def sheet_of(lines: tuple[str, ...], paper: str) -> bytes:
    """Lines of large words on a framed sheet; the same lines give the same picture."""
    sheet = Image.new("RGB", SIZE, paper)
    pen = ImageDraw.Draw(sheet)
    face = ImageFont.truetype(str(FACE), 132, layout_engine=ImageFont.Layout.BASIC)
    pen.rectangle((40, 40, SIZE[0] - 41, SIZE[1] - 41), outline=INK, width=6)
    middle = SIZE[0] / 2, SIZE[1] / 2
    pen.multiline_text(middle, "\n".join(lines), fill=INK, font=face, anchor="mm", align="center", spacing=48)
    file = io.BytesIO()
    sheet.save(file, "PNG")
    return file.getvalue()
