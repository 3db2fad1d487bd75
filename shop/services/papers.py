"""Any paper that comes as a file: a whole PDF as it is, or a picture drawn anew. Its content says what it is."""

from __future__ import annotations

from dataclasses import dataclass

from shop.core.canonical import sha256
from shop.core.findings import Refused, blocked
from shop.core.phrase import phrase
from shop.models import CardImage
from shop.services.cleaning import clean_photo

MOST_BYTES = 10 * 1024 * 1024
HEAD, TAIL = b"%PDF-", b"%%EOF"  # ISO 32000-2, 7.5.2 and 7.5.5
TAIL_WITHIN = 1024  # bytes from the end; what readers are used to, no source


@dataclass(frozen=True, slots=True)
class FileIn:
    """A file that was looked into. A PDF has no size in pixels."""

    media: CardImage.Media
    content: bytes
    width: int = 0
    height: int = 0

    @property
    def sha256(self) -> str:
        return sha256(self.content)


def read_file(sent: bytes) -> FileIn:
    """What a file is, by its first and last bytes. Raises ``Refused`` with one sentence about the field ``paper``."""
    if len(sent) > MOST_BYTES:
        raise _refused(
            "paper-too-large", phrase("The file is larger than 10 MB. Scan it in a coarser setting.")
        )
    if not sent.startswith(HEAD):
        return _picture(sent)
    if TAIL not in sent[-TAIL_WITHIN:]:
        raise _refused("paper-broken", phrase("The PDF did not come in whole. Send it once more."))
    return FileIn(CardImage.Media.PDF, sent)


def _picture(sent: bytes) -> FileIn:
    try:
        drawn = clean_photo(sent)
    except Refused as refused:
        if refused.findings[0].code != "photo-unknown":
            raise _refused(refused.findings[0].code, refused.findings[0].message) from refused
        sentence = phrase("This file is neither a PDF nor a photo in JPEG, PNG or WebP. Choose another.")
        raise _refused("paper-unknown", sentence) from refused
    return FileIn(CardImage.Media.JPEG, drawn.jpeg, drawn.width, drawn.height)


def _refused(code: str, sentence: str) -> Refused:
    return Refused([blocked(code, sentence, "paper")])
