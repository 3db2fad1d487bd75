"""The dispute after nine days: hold, case file, and a correction that does not hide."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.models import Document
from compliance.queries.whole_book import whole_book_findings
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive
from tests.pages import send, text

pytestmark = pytest.mark.one_engine

INSURER = "the insurer writes: overcharged"


@pytest.fixture
def car(shop: Shop) -> str:
    """The sample job, with a photo of its label; the number of its job."""
    cans = cans_of(receive(shop))
    bay = Bay.check_in(shop, vin="ZZZ1SAMPXE7000417")
    bay.photograph(caption="under the hood")
    bay.straight(cans[0], cans[1])
    return bay.job.number


def words(client: Client, address: str) -> str:
    reader = PdfReader(BytesIO(client.get(f"{address}pdf/").content))
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages)).replace("\u00a0", " ")


def test_the_dispute_after_nine_days(shop: Shop, car: str, lee: Client, marta: Client) -> None:
    # the letter comes; the front office puts the job on hold and makes the file
    assert "This job is not on hold" in text(lee.get(f"/case-file/{car}/"))
    assert send(lee, f"/holds/{car}/new/", why=INSURER).status_code == 302
    made = send(lee, f"/case-file/{car}/", why=INSURER)
    assert made.status_code == 302
    first = words(lee, made.url)
    assert "503 g, give or take 4.5 g at the worst, against 500 g ± 20 g." in first
    assert "Even at the worst it is inside the tolerance." in first
    assert INSURER in first
    assert "Vehicle 2014 sedan, blue" in first
    assert "SC-1 before the job" in first
    assert "SC-1 after the job missing" in first
    assert "Dev Larkin held Section 609 proof of certification SAMPLE-7741" in first
    assert "Corrected after closing None." in first
    assert "Missing The odometer" in first

    # the owner finds the odometer left out; the slip is signed after the hold, and the next file says so
    address = f"/corrections/job/{car}/?what=check-in-1-odometer"
    typed = {"old-check-in-1-odometer": "", "check-in-1-odometer": "118402", "why": "left out at check-in"}
    seen = re.search(r'name="seen" value="([^"]+)"', send(marta, address, **typed).content.decode())
    assert seen is not None
    assert send(marta, address, **typed, seen=seen[1]).status_code == 302
    again = send(marta, f"/case-file/{car}/", why=INSURER)
    second = words(marta, again.url)
    assert "Odometer 118402" in second
    assert "not recorded 118402 left out at check-in" in second
    assert "was signed after this job was put on hold" in second
    assert "C24-0001 version 2" in second

    # the first file stays what it was
    assert words(lee, made.url) == first
    assert Document.objects.filter(kind="case file").count() == 2
    assert whole_book_findings() == []


def test_a_slip_is_not_signed_unseen(car: str, marta: Client) -> None:
    address = f"/corrections/job/{car}/?what=check-in-1-odometer"
    typed = {"old-check-in-1-odometer": "", "check-in-1-odometer": "118402", "why": "left out at check-in"}
    seen = re.search(r'name="seen" value="([^"]+)"', send(marta, address, **typed).content.decode())
    assert seen is not None
    other = typed | {"check-in-1-odometer": "999999"}
    answer = send(marta, address, **other, seen=seen[1])
    assert answer.status_code == 200
    assert "999999" in text(answer)
    assert not Document.objects.filter(version=2).exists()
