"""What comes in as a photo, and what of it may be kept."""

from __future__ import annotations

import random
import struct
import zlib

import pytest
from PIL import Image, ImageCms

from shop.core.canonical import sha256
from shop.core.findings import Refused
from shop.services.cleaning import AIM, MOST_BYTES, SIDE, clean_photo
from tests.compliance.pictures import BLUE, RED, encoded, halves, marks, opened, picture_of, segments

JFIF, TABLES_AND_FRAME = 0xE0, {0xDB, 0xC2, 0xC4}
NOT_A_PHOTO = "not a whole photo in JPEG, PNG or WebP"


def refusal(sent: bytes) -> str:
    with pytest.raises(Refused) as refused:
        clean_photo(sent)
    assert [finding.field for finding in refused.value.findings] == ["photo"]
    return str(refused.value)


def close_to(seen: object, colour: tuple[int, int, int]) -> bool:
    assert isinstance(seen, tuple)
    return all(abs(one - other) <= 12 for one, other in zip(seen, colour, strict=True))


def test_where_it_was_taken_and_by_what_is_gone_from_the_kept_bytes() -> None:
    sent = picture_of("label", exif=marks(), comment=b"left front fender")
    assert {0xE1, 0xFE} <= segments(sent)
    assert opened(sent).getexif().get_ifd(0x8825)[1] == "N"

    kept = clean_photo(sent).jpeg

    assert segments(kept) <= {JFIF, *TABLES_AND_FRAME}
    assert not opened(kept).getexif()
    for mark in (b"Exif", b"GPS", b"Sample Camera Works", b"fender", b"ICC_PROFILE"):
        assert mark not in kept


@pytest.mark.parametrize(
    ("orientation", "size", "first", "last"),
    [
        (1, (400, 200), RED, BLUE),
        (3, (400, 200), BLUE, RED),
        (6, (200, 400), RED, BLUE),  # turned to the right: what was left is up
        (8, (200, 400), BLUE, RED),
    ],
)
def test_a_photo_stands_upright(
    orientation: int, size: tuple[int, int], first: tuple[int, int, int], last: tuple[int, int, int]
) -> None:
    kept = clean_photo(encoded(halves(), exif=marks(orientation)))

    picture = opened(kept.jpeg)
    assert (kept.width, kept.height) == picture.size == size
    assert close_to(picture.getpixel((10, 10)), first)
    assert close_to(picture.getpixel((size[0] - 10, size[1] - 10)), last)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "MPO"])
def test_every_kind_that_phones_make_becomes_a_jpeg(kind: str) -> None:
    kept = clean_photo(encoded(halves(), kind))

    assert opened(kept.jpeg).format == "JPEG"
    assert close_to(opened(kept.jpeg).getpixel((10, 10)), RED)
    assert kept.sha256 == sha256(kept.jpeg)


def test_a_large_photo_is_shrunk_and_light_and_a_small_one_keeps_its_size() -> None:
    large = clean_photo(picture_of("scale", (4032, 3024)))

    assert (large.width, large.height) == (SIDE, 1200)
    assert len(large.jpeg) < AIM
    assert clean_photo(picture_of("scale", (300, 200))).width == 300


@pytest.mark.parametrize(("restless", "size"), [(14, (1600, 1200)), (90, (800, 600))])
def test_a_restless_photo_is_written_coarser_until_it_is_light(restless: int, size: tuple[int, int]) -> None:
    leaves = Image.effect_noise((1600, 1200), restless).convert("RGB")
    fine = encoded(leaves, quality=80)
    assert len(fine) > AIM

    kept = clean_photo(fine)

    assert len(kept.jpeg) <= AIM
    assert (kept.width, kept.height) == opened(kept.jpeg).size == size


def test_the_same_bytes_come_out_the_same() -> None:
    sent = picture_of("label")
    assert clean_photo(sent) == clean_photo(sent)


def test_what_is_see_through_becomes_white() -> None:
    glass = Image.new("RGBA", (60, 40), (0, 0, 0, 0))
    glass.paste((*RED, 255), (0, 0, 30, 40))

    picture = opened(clean_photo(encoded(glass, "PNG")).jpeg)

    assert close_to(picture.getpixel((5, 20)), RED)
    assert close_to(picture.getpixel((55, 20)), (255, 255, 255))


def test_colours_of_another_space_are_brought_into_srgb() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    swapped = profile.replace(b"rXYZ", b"....").replace(b"bXYZ", b"rXYZ").replace(b"....", b"bXYZ")

    picture = opened(clean_photo(encoded(halves(), icc_profile=swapped)).jpeg)

    assert close_to(picture.getpixel((10, 10)), (RED[2], RED[1], RED[0]))
    assert clean_photo(encoded(halves(), icc_profile=b"none")) == clean_photo(encoded(halves()))


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
        b"<!doctype html><script>alert(1)</script>",
        b"%PDF-1.7\n" + picture_of("label"),
        encoded(halves(), "GIF"),
        encoded(halves(), "BMP"),
        encoded(halves(), "TIFF"),
        b"GIF89a" + picture_of("label"),
        b"\xff\xd8\xff",
        b"\x89PNG\r\n\x1a\n",
    ],
    ids=[
        "nothing",
        "svg",
        "html",
        "pdf",
        "gif",
        "bmp",
        "tiff",
        "gif before a jpeg",
        "a start",
        "a signature",
    ],
)
def test_what_is_not_a_photo_is_refused_by_its_content(sent: bytes) -> None:
    assert NOT_A_PHOTO in refusal(sent)


def test_what_hangs_behind_a_photo_is_not_kept() -> None:
    sent = picture_of("label") + b"PK\x03\x04<script>alert(1)</script>"
    assert b"script" not in clean_photo(sent).jpeg


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_half_a_photo_is_refused(kind: str) -> None:
    sent = encoded(halves(), kind)
    assert "whole" in refusal(sent[: len(sent) * 2 // 3])


def test_a_photo_with_bits_turned_over_is_refused_or_drawn_anew_and_never_breaks() -> None:
    chance = random.Random(609)
    whole = [encoded(halves(), kind) for kind in ("JPEG", "PNG", "WEBP")]
    kept = 0
    for _ in range(300):
        sent = bytearray(chance.choice(whole))
        for _ in range(chance.randint(1, 8)):
            sent[chance.randrange(len(sent))] = chance.randrange(256)
        try:
            kept += opened(clean_photo(bytes(sent)).jpeg).format == "JPEG"
        except Refused:
            continue
    assert 0 < kept < 300


@pytest.mark.parametrize(("width", "height"), [(8000, 5001), (60_000, 60_000)])
def test_a_header_that_promises_too_many_pixels_is_refused_before_they_are_made(
    width: int, height: int
) -> None:
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in ((b"IHDR", header), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b""))
    )
    assert "more than 40 million pixels" in refusal(bomb)


def test_a_photo_of_more_than_12_mb_is_refused_and_one_of_12_mb_is_not() -> None:
    photo = picture_of("label")
    assert "larger than 12 MB" in refusal(photo + b"\0" * (MOST_BYTES + 1 - len(photo)))
    assert clean_photo(photo + b"\0" * (MOST_BYTES - len(photo))).width == 640
