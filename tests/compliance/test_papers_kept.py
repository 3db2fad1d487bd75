"""Documents: kept as issued, numbered without gaps, replaced and withdrawn in the open, checked by anybody."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client

from compliance.models import Document
from compliance.pdf.drawing import draw
from compliance.queries import packs
from compliance.queries.papers import as_paper
from compliance.services import withdraw_document
from compliance.services.documents import replaces_line
from inventory.models import Container
from shop.core.findings import Refused
from shop.models import Establishment
from shop.records import drop_guards, install_guards
from tests.compliance.work import Bay, Moment, rename


@pytest.fixture
def certificate(bay: Bay, cans: list[Container]) -> Document:
    return bay.straight(cans[0], cans[1]).certificates.get().document


def test_a_paper_drawn_again_from_its_facts_is_the_same_to_the_byte(certificate: Document) -> None:
    assert draw(as_paper(certificate)) == bytes(certificate.pdf)


def test_a_refused_closing_takes_no_number(bay: Bay, cans: list[Container]) -> None:
    with pytest.raises(Refused):
        bay.close()
    bay.straight(cans[0], cans[1])
    second = Bay.check_in(bay.shop, plate="SMP-999", at=bay.clock)
    second.up_to_charge_again()
    second.draw(cans[1], "293", "128", emptied=True)
    second.draw(cans[2], "466", "122")
    second.keep_charge()
    second.finals()
    second.close()
    assert sorted(Document.objects.values_list("number", flat=True)) == ["C24-0001", "C24-0002"]


def test_a_new_version_names_what_it_replaces_and_the_old_one_stays_readable(
    certificate: Document, bay: Bay
) -> None:
    new = rename(certificate, "Inez Calloway", "name misspelt", at=bay.later(), by=bay.shop.marta)
    assert (new.number, new.version, new.replaces) == (certificate.number, 2, certificate)
    replaces = as_paper(new).replaces.replace("\u00a0", " ")
    assert replaces.startswith(
        "Replaces version 1 of Apr 2 2024. Changed: Check-in: Customer Ines Calloway →"
    )
    assert replaces.endswith(". Name misspelt. Slip CS24-0001, Marta Quill, Apr 2 2024.")
    assert "Ines Calloway" in Document.objects.get(pk=certificate.pk).facts


def test_the_day_of_the_version_before_is_the_shops_own() -> None:
    """Nine in the evening in Colorado is the next day in UTC."""
    shop = Establishment(time_zone="America/Denver")
    old = Document(establishment=shop, version=1, at=datetime(2026, 7, 2, 3, 0, tzinfo=UTC))
    assert replaces_line(old, "counted late").replace("\u00a0", " ") == (
        "Replaces version 1 of Jul 1 2026. Counted late."
    )


def test_what_was_put_right_is_not_put_right_again(certificate: Document, bay: Bay) -> None:
    rename(certificate, "Inez", "misspelt", at=bay.later(), by=bay.shop.marta)
    with pytest.raises(Refused, match="reads so already"):
        rename(certificate, "Inez", "misspelt", at=bay.later(), by=bay.shop.marta)


@pytest.mark.parametrize(
    ("answer", "word"), [("none", "Current"), ("reissue", "Replaced"), ("withdraw", "Withdrawn")]
)
def test_the_check_page_says_the_state_and_nothing_private(
    certificate: Document, bay: Bay, client: Client, answer: str, word: str
) -> None:
    if answer == "reissue":
        rename(certificate, "Inez", "misspelt", at=bay.later(), by=bay.shop.marta)
    if answer == "withdraw":
        withdraw_document(certificate, why="wrong car", at=bay.later(), by=bay.shop.marta)
    page = client.get(f"/check/{certificate.number}/1/").content.decode()
    assert word in page
    for private in ("Calloway", "SMP-417", "503", "Larkin", "SAMPLE-7741", "wrong car"):
        assert private not in page


def test_the_check_page_of_an_unknown_paper_says_unknown(client: Client, db: None) -> None:
    answer = client.get("/check/C24-9999/1/")
    assert answer.status_code == 404
    assert "Unknown" in answer.content.decode()


def test_the_paper_command_writes_the_stored_bytes(certificate: Document, tmp_path: Path) -> None:
    out = io.StringIO()
    call_command("paper", certificate.number, "--to", str(tmp_path / "c.pdf"), stdout=out)
    assert (tmp_path / "c.pdf").read_bytes() == bytes(certificate.pdf)


def test_the_papers_command_lists_every_paper_with_its_state(certificate: Document) -> None:
    out = io.StringIO()
    call_command("papers", stdout=out)
    assert certificate.number in out.getvalue()
    assert "current" in out.getvalue()


def verify() -> tuple[int, str]:
    out = io.StringIO()
    try:
        call_command("verify", stdout=out)
    except SystemExit as ended:
        return int(str(ended.code)), out.getvalue()
    return 0, out.getvalue()


def test_verify_finds_a_whole_book_whole(certificate: Document) -> None:
    assert verify()[0] == 0


@pytest.mark.parametrize(
    ("meddling", "code"),
    [
        ("UPDATE compliance_document SET facts = replace(facts, 'Calloway', 'Somebody')", "facts-changed"),
        ("UPDATE compliance_document SET pdf_sha256 = facts_sha256", "pdf-changed"),
        ("UPDATE compliance_link SET body = body || ' ' WHERE place = 1", "link-changed"),
        ("UPDATE compliance_link SET place = place + 7", "chain-broken"),
        ("UPDATE compliance_closing SET facts = replace(facts, '503', '500')", "closing-changed"),
        ("UPDATE inventory_movement SET mass = mass * 3 WHERE purpose = 'charged'", "below-nothing"),
        ("UPDATE inventory_movement SET target_kind = 'air' WHERE purpose = 'hoses'", "movement-astray"),
        ("UPDATE compliance_document SET number = 'C24-0004'", "number-gap"),
    ],
)
def test_verify_finds_what_somebody_with_a_database_shell_changed(
    certificate: Document, meddling: str, code: str
) -> None:
    drop_guards()
    with connection.cursor() as cursor:
        cursor.execute(meddling)
    install_guards()
    status, said = verify()
    assert status == 1
    assert code in said


@pytest.fixture
def rule_packs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the packs on file that a test may write into."""
    shutil.copytree(packs.FOLDER, tmp_path / "packs")
    monkeypatch.setattr(packs, "FOLDER", tmp_path / "packs")
    yield tmp_path / "packs"
    monkeypatch.undo()
    packs.packs_on_file.cache_clear()


def test_verify_holds_the_rule_packs_against_what_jobs_were_closed_under(
    certificate: Document, rule_packs: Path
) -> None:
    """The job was closed under the federal baseline alone; what is added to another state's pack is no matter."""
    federal = rule_packs / "us-2026-11.toml"
    for touched in (rule_packs / "us-ca-2024-12.toml", federal):
        touched.write_text(touched.read_text("utf-8") + "# a remark\n", "utf-8")
        packs.packs_on_file.cache_clear()
        status, said = verify()
        assert ("pack-changed: The rule pack us-2026-11 does not read as it did when J24-0001" in said) is (
            touched == federal
        )
        assert status == (touched == federal)
    federal.unlink()
    packs.packs_on_file.cache_clear()
    assert "pack-missing: The rule pack us-2026-11 that J24-0001 was closed under" in verify()[1]


def test_verify_misses_no_guard(certificate: Document) -> None:
    drop_guards()
    status, said = verify()
    install_guards()
    assert status == 1
    assert "guard-missing" in said


def test_nobody_at_the_counter_sees_papers_without_signing_on(certificate: Document, client: Client) -> None:
    for address in (f"/papers/{certificate.number}/1/", f"/papers/{certificate.number}/1/pdf/", "/papers/"):
        assert client.get(address).status_code == 302


def test_a_weight_typed_with_a_slip_is_not_on_the_paper(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    with pytest.raises(Refused):
        bay.weigh(cans[0], "16", Moment.BEFORE)
    assert not Document.objects.exists()
