"""A photo as it came in, made into one that may be kept: the pixels, and nothing else that was in the file.

What it is, is read from its content; a name or a stated type counts for nothing. The pixels are drawn anew, so that
no place, camera, comment, thumbnail or appended file comes along.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image, ImageCms, ImageOps

from shop.core.canonical import sha256
from shop.core.findings import Refused, blocked

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 12 * 1024 * 1024
MOST_PIXELS = 40_000_000
SIDE = 1600  # pixels; enough to read a label by
AIM = 300_000  # bytes
STEPS = ((SIDE, 80), (SIDE, 70), (SIDE, 60), (SIDE, 50), (1200, 50), (800, 50))  # side, quality


@dataclass(frozen=True, slots=True)
class CleanPhoto:
    """A JPEG made by ``clean_photo``, with its hash and its size in pixels."""

    jpeg: bytes
    sha256: str
    width: int
    height: int


def clean_photo(sent: bytes) -> CleanPhoto:
    """Decode a photo whole and draw it anew. Raises ``Refused`` with one sentence about the field ``photo``."""
    if len(sent) > MOST_BYTES:
        raise _refused("photo-too-large", "The photo is larger than 12 MB. Take it again in a smaller size.")
    with _opened(sent) as picture:
        if picture.width * picture.height > MOST_PIXELS:
            raise _too_many_pixels()
        try:
            drawn = _drawn(picture)
        except Exception as broken:  # made-up bytes break a decoder in any way they like
            sentence = "The photo did not come in whole. Send it once more, or take it again."
            raise _refused("photo-broken", sentence) from broken
    jpeg = _encoded(drawn)  # which may shrink it once more
    return CleanPhoto(jpeg, sha256(jpeg), drawn.width, drawn.height)


def smaller_photo(jpeg: bytes, side: int) -> CleanPhoto:
    """A kept photo once more, no larger than ``side`` pixels, for a paper. The same photo gives the same bytes."""
    with Image.open(io.BytesIO(jpeg), formats=("JPEG",)) as picture:
        drawn = picture.convert("RGB")
    drawn.thumbnail((side, side), Image.Resampling.LANCZOS)
    small = io.BytesIO()
    drawn.save(small, "JPEG", quality=60, optimize=True)
    return CleanPhoto(small.getvalue(), sha256(small.getvalue()), drawn.width, drawn.height)


def _opened(sent: bytes) -> Image.Image:
    """The picture with its header read and no pixel yet."""
    try:
        return Image.open(io.BytesIO(sent), formats=FORMATS)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels() from None
    except Exception as unknown:  # the same: no header can be trusted to be one
        sentence = (
            "This file is not a whole photo in JPEG, PNG or WebP. Take it with the camera, or choose another."
        )
        raise _refused("photo-unknown", sentence) from unknown


def _drawn(picture: Image.Image) -> Image.Image:
    """Upright, in sRGB, on white, no larger than the side: a new picture that knows nothing of the old file."""
    picture.draft(None, (2 * SIDE, 2 * SIDE))  # a large JPEG is decoded no finer than it is needed
    picture.load()
    profile = picture.info.get("icc_profile")
    if picture.has_transparency_data:
        shrunk: Image.Image = picture.convert("RGBA")
    else:
        shrunk = picture if picture.mode in ("RGB", "L", "CMYK") else picture.convert("RGB")
    shrunk.thumbnail((SIDE, SIDE), Image.Resampling.LANCZOS)
    upright = ImageOps.exif_transpose(shrunk)
    see_through = upright.getchannel("A") if upright.mode == "RGBA" else None
    whole = Image.new("RGB", upright.size, "white")
    whole.paste(_in_srgb(upright.convert("RGB") if see_through else upright, profile), mask=see_through)
    return whole


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if profile:
        try:
            given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            srgb = ImageCms.createProfile("sRGB")
            changed = ImageCms.profileToProfile(picture, given, srgb, outputMode="RGB")
        except (OSError, ImageCms.PyCMSError):
            return picture.convert("RGB")  # a profile that is not one, or of another kind of picture
        return changed or picture.convert("RGB")
    return picture.convert("RGB")


def _encoded(picture: Image.Image) -> bytes:
    """The finest JPEG that is not heavier than the aim; of a restless picture one with fewer pixels."""
    jpeg = b""
    for side, quality in STEPS:
        picture.thumbnail((side, side), Image.Resampling.LANCZOS)
        kept = io.BytesIO()
        picture.save(kept, "JPEG", quality=quality, optimize=True, progressive=True)
        jpeg = kept.getvalue()
        if len(jpeg) <= AIM:
            break
    return jpeg


def _too_many_pixels() -> Refused:
    sentence = "The photo has more than 40 million pixels. Take it again in a smaller size."
    return _refused("photo-too-many-pixels", sentence)


def _refused(code: str, sentence: str) -> Refused:
    return Refused([blocked(code, sentence, "photo")])
