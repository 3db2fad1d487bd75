"""The whole shop: every file hashed, every row there, nothing secret, nothing of anybody else."""

from __future__ import annotations

import hashlib
import io
import zipfile
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import models
from django.test import Client

from compliance.models import Document, Photo, StatementProof
from compliance.sheets import SHEETS
from compliance.sheets.tables import LEFT_OUT, kept_tables, rows_of, way_to_the_shop
from compliance.sheets.whole import MANIFEST, whole_shop, write_zip
from inventory.models import Attachment, ContainerType, EarlierPaper, FoundCan, Place, Refrigerant
from shop.models import AuditNote, CardImage, Establishment, Person
from shop.services import ListenerIn, add_listener, issue_badge, make_station, set_pin
from tests.compliance.sheets.reading import body
from tests.compliance.sheets.reading import rows_of as read_back
from tests.conftest import SignOn
from tests.factories import NOON, Shop, make_establishment, make_owner

pytestmark = pytest.mark.one_engine


def unpacked(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def zipped(shop: Establishment) -> dict[str, bytes]:
    file = io.BytesIO()
    write_zip(whole_shop(shop, NOON), file)
    return unpacked(file.getvalue())


def sealed(files: dict[str, bytes]) -> dict[str, str]:
    """path -> SHA-256, as the manifest has them."""
    lines = files[MANIFEST].decode().splitlines()
    return {path: seal for seal, path in (line.split("  ", 1) for line in lines)}


def test_every_file_of_the_zip_has_the_hash_that_its_manifest_says(full: Shop, marta: Client) -> None:
    answer = marta.post("/sheets/whole/")
    files = unpacked(body(answer))

    assert answer.headers["Content-Type"] == "application/zip"
    assert 'filename="copper-gulch-auto-repair-' in answer.headers["Content-Disposition"]
    assert sealed(files) == {
        path: hashlib.sha256(data).hexdigest() for path, data in files.items() if path != MANIFEST
    }


def test_lists_tables_papers_and_photos_are_all_there(full: Shop) -> None:
    files = zipped(full.establishment)

    wanted = {"README.txt", MANIFEST}
    wanted |= {f"lists/{one.name}.csv" for one in SHEETS}
    wanted |= {f"tables/{model._meta.db_table}.csv" for model in kept_tables()}
    wanted |= {
        "papers/C24-0001-v1.pdf",
        "papers/C24-0001-v2.pdf",
        "papers/CF24-0001-v1.pdf",
        "papers/UR-24-01-v1.pdf",
        "papers/ES-24-01-v1.pdf",
    }
    card, proof = CardImage.objects.get(), StatementProof.objects.get()
    wanted |= {f"cards/{card.card_id}-{card.pk}.jpg", f"proofs/ES-24-01-v1/{proof.pk}.pdf"}
    slip = Attachment.objects.get()
    wanted |= {f"slips/D24-0002/{slip.pk}-slip.pdf"}
    scan = EarlierPaper.objects.get()
    wanted |= {f"earlier/{scan.month:%Y-%m}/{scan.pk}.pdf"}
    photo = Photo.objects.get()
    wanted |= {f"photos/{photo.job.number}/{photo.pk}-{photo.what}.jpg"}
    wanted |= {f"photos/found/{FoundCan.objects.get().container_id}.jpg"}
    assert set(files) == wanted
    assert hashlib.sha256(files[f"slips/D24-0002/{slip.pk}-slip.pdf"]).hexdigest() == slip.sha256
    for paper in Document.objects.all():
        data = files[f"papers/{paper.number}-v{paper.version}.pdf"]
        assert (hashlib.sha256(data).hexdigest(), data[:5]) == (paper.pdf_sha256, b"%PDF-")
    assert [row["sha256"] for row in read_back(files["lists/photos.csv"])] == [photo.sha256]


def test_every_row_of_every_table_is_there(full: Shop) -> None:
    files = zipped(full.establishment)

    for model in kept_tables():
        table = read_back(files[f"tables/{model._meta.db_table}.csv"])
        assert len(table) == model._default_manager.count(), model


def test_whatever_is_kept_as_bytes_leaves_as_a_file_of_its_own(full: Shop) -> None:
    """Tables leave such columns out, so a new one has to be written out beside them."""
    files = zipped(full.establishment)
    out = list(files.values())

    for model in kept_tables():
        for field in model._meta.concrete_fields:
            if isinstance(field, models.BinaryField):
                kept = list(model._default_manager.values_list(field.attname, flat=True))
                assert kept, f"write a {model.__name__} into the shop of these tests"
                assert all(bytes(one) in out for one in kept), field


def test_the_readme_names_every_column(full: Shop) -> None:
    files = zipped(full.establishment)
    told = files["README.txt"].decode()

    for path, data in files.items():
        if path.endswith(".csv"):
            header = data.decode("utf-8-sig").splitlines()[0]
            assert all(f"\n{column}: " in told for column in header.split(",")), path
    assert "Copper Gulch Auto Repair" in told


def test_no_secret_leaves(full: Shop) -> None:
    set_pin("7305", at=NOON, by=full.dev)
    _, code = issue_badge(at=NOON, by=full.dev)
    station, token = make_station("Bay PC", full.establishment, at=NOON, by=full.marta)
    told = ListenerIn("Bookkeeping", "https://books.example/?key=a-key-of-theirs", ("stock_low",))
    listener, shown = add_listener(told, full.establishment, at=NOON, by=full.marta)
    theirs = (listener.url, listener.seed, listener.secret_sha256, shown)
    secrets = [full.dev.password, full.dev.pins.get().hashed, full.dev.badges.get().code_sha256]

    everything = b"".join(zipped(full.establishment).values())

    for secret in (*secrets, station.token_sha256, token, code, *theirs):
        assert len(secret) > 16
        assert secret.encode() not in everything


def test_every_table_leads_to_its_shop_or_is_common_to_all() -> None:
    """A table that no chain of keys binds to a shop would leave with every shop's rows in it."""
    common = {Establishment, Place, Refrigerant, ContainerType}

    assert {model for model in kept_tables() if not way_to_the_shop(model)} == common
    left_out = {"FormSent", "ProgramAnswer", "SearchTail", "ImportDraft", "PutAway"}
    assert {model.__name__ for model in LEFT_OUT} == left_out


def test_another_shop_takes_none_of_our_rows(full: Shop) -> None:
    other = make_establishment("Red Mesa Auto")
    make_owner(other, "Otis Vale")

    theirs = zipped(other)
    ours = b"".join(zipped(full.establishment).values())

    common = {Refrigerant, ContainerType}
    for model in kept_tables():
        table = read_back(theirs[f"tables/{model._meta.db_table}.csv"])
        own = {Establishment: 1, Person: 1, Place: Place.objects.filter(container=None).count()}.get(model, 0)
        assert len(table) == (rows_of(model, other).count() if model in common else own), model
    assert not [path for path in theirs if path.startswith(("papers/", "slips/", "photos/"))]
    assert b"Otis" not in ours
    assert b"Marta" not in b"".join(theirs.values())


def test_only_the_owner_takes_everything_and_it_is_written_down(
    full: Shop, sign_on: SignOn, marta: Client
) -> None:
    for person in (full.lee, full.dev):
        assert sign_on(person).post("/sheets/whole/").status_code == 403

    assert marta.get("/sheets/whole/").status_code == 200
    assert not AuditNote.objects.filter(about="the whole shop").exists()
    body(marta.post("/sheets/whole/"))

    assert AuditNote.objects.get(about="the whole shop").by == full.marta


def test_a_pin_does_not_take_everything(full: Shop) -> None:
    client = Client()
    client.force_login(full.marta, backend="shop.backends.PinBackend")

    answer = client.post("/sheets/whole/", follow=True)

    assert "Sign on with your password first" in answer.content.decode()


def test_the_command_writes_the_same_files_into_a_folder(full: Shop, tmp_path: Path) -> None:
    folder = tmp_path / "out" / "copper"

    call_command("export", folder, verbosity=0)

    files = {str(one.relative_to(folder)): one.read_bytes() for one in folder.rglob("*") if one.is_file()}
    assert sealed(files) == {
        path: hashlib.sha256(data).hexdigest() for path, data in files.items() if path != MANIFEST
    }
    assert set(files) == set(zipped(full.establishment))


def test_the_command_touches_no_folder_that_holds_something(full: Shop, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")

    with pytest.raises(CommandError, match="not empty"):
        call_command("export", tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["mine.txt"]


def test_the_command_asks_which_shop_is_meant(full: Shop, tmp_path: Path) -> None:
    make_establishment("Red Mesa Auto")

    with pytest.raises(CommandError, match="Copper Gulch Auto Repair, Red Mesa Auto"):
        call_command("export", tmp_path / "a")
    with pytest.raises(CommandError, match="--shop"):
        call_command("export", tmp_path / "a", shop="Nobody's")
    call_command("export", tmp_path / "b", shop="Red Mesa Auto", verbosity=0)
    assert (tmp_path / "b" / MANIFEST).exists()
    assert not (tmp_path / "a").exists()
