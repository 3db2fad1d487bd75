"""The bay, the cautions and the customer's papers speak Spanish too: nothing is left out, and nothing is stale."""

from __future__ import annotations

import gettext
import os
import re
import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from string import Formatter

import pytest
from django.test import Client
from django.utils import translation
from pypdf import PdfReader

from compliance.core.cautions import AT, cautions_at
from compliance.core.stages import StageKind
from compliance.services.copies import customers_copy, customers_pdf
from inventory.models import Container
from shop.core import cautions
from shop.models import Person
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import Shop, cans_of, receive

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = Path("locale/es/LC_MESSAGES")


@pytest.fixture(scope="module")
def spanish() -> gettext.GNUTranslations:
    with (ROOT / CATALOGUE / "django.mo").open("rb") as compiled:
        return gettext.GNUTranslations(compiled)


def pairs(catalogue: gettext.GNUTranslations) -> dict[str, str]:
    """Every sentence with its translation, of one that counts the form for one; msgfmt looks at the others."""
    found: dict[str | tuple[str, int], str] = catalogue._catalog  # type: ignore[attr-defined]
    named = {said if isinstance(said, str) else said[0]: meant for said, meant in reversed(found.items())}
    return {said: meant for said, meant in named.items() if said}


def values_in(text: str) -> list[str]:
    """The places for values: {can}, {since:%H:%M}, %(name)s."""
    braces = [f"{name}:{spec}" for _, name, spec, _ in Formatter().parse(text) if name is not None]
    return sorted([*braces, *re.findall(r"%\(\w+\)s", text)])


def test_the_catalogue_holds_every_marked_sentence_and_none_is_empty(tmp_path: Path) -> None:
    """Collected anew from a copy of the code, the catalogue is what it was. Needs GNU gettext (Debian: gettext)."""
    assert shutil.which("xgettext"), "GNU gettext is missing: apt-get install gettext"
    for name in ("shop", "inventory", "compliance", "locale", "manage.py"):
        source = ROOT / name
        copy = shutil.copytree if source.is_dir() else shutil.copy
        copy(source, tmp_path / name)
    environment = os.environ | {"TAREBOOK_DATA": str(tmp_path / "data"), "DATABASE_URL": ""}
    command = [sys.executable, "manage.py", "makemessages", "--verbosity", "0"]
    subprocess.run(command, cwd=tmp_path, env=environment, check=True)
    kept, anew = (folder / CATALOGUE / "django.po" for folder in (ROOT, tmp_path))
    assert anew.read_text(encoding="utf-8") == kept.read_text(encoding="utf-8")
    empty = re.findall(r'^msgid ("(?!").*)\nmsgstr ""\n(?!")', kept.read_text(encoding="utf-8"), re.MULTILINE)
    assert empty == []


def test_every_form_of_a_sentence_that_counts_is_there_with_its_values(tmp_path: Path) -> None:
    catalogue = str(ROOT / CATALOGUE / "django.po")
    subprocess.run(["msgfmt", "--check-format", "-o", tmp_path / "django.mo", catalogue], check=True)
    said = ["msgattrib", "--untranslated", "--no-obsolete", catalogue]
    assert subprocess.run(said, check=True, capture_output=True, text=True).stdout == ""


def test_every_translation_keeps_the_values_of_its_sentence(spanish: gettext.GNUTranslations) -> None:
    wrong = [said for said, meant in pairs(spanish).items() if values_in(said) != values_in(meant)]
    assert wrong == []


def test_the_catalogue_says_that_a_native_technician_has_not_read_it_yet() -> None:
    head = (ROOT / CATALOGUE / "django.po").read_text(encoding="utf-8")[:200]
    assert "Draft, to be read by a native technician" in head


def test_every_caution_is_told_in_spanish(spanish: gettext.GNUTranslations) -> None:
    worded = [one.text for one in vars(cautions).values() if isinstance(one, cautions.Caution)]
    assert len(worded) >= 19
    for text in [*worded, str(cautions.DEFER)]:
        assert spanish.gettext(text) != text
    assert "INFLAMABLE" in spanish.gettext(cautions.FLAME.text)


def test_every_word_beside_a_shape_is_told_in_spanish(spanish: gettext.GNUTranslations) -> None:
    templates = [path for app in ("shop", "inventory", "compliance") for path in (ROOT / app).rglob("*.html")]
    said = {
        word
        for path in templates
        for word in re.findall(r'{% state \S+ "([^"]+)" %}', path.read_text(encoding="utf-8"))
    }
    assert len(said) > 80
    assert {word for word in said if word not in pairs(spanish)} == set()


def test_what_a_closing_rule_rests_on_is_told_in_spanish(rosa: Client, shop: Shop) -> None:
    job = Bay.check_in(shop).job
    page = rosa.get(f"/bay/{job.number}/close/").content.decode()
    assert "Regla del taller: cada etapa tiene respuesta" in page
    assert "Shop rule" not in page


def test_every_stage_with_a_hand_at_it_has_its_caution() -> None:
    assert {StageKind.RECOVERY, StageKind.LEAK_CHECK, StageKind.EVACUATION, StageKind.CHARGE} <= set(AT)
    assert cautions_at(StageKind.CHARGE, "R-1234yf")[0] is cautions.FLAME


@pytest.fixture
def rosa(shop: Shop, sign_on: SignOn) -> Client:
    Person.objects.filter(pk=shop.rosa.pk).update(language="es")
    shop.rosa.refresh_from_db()
    return sign_on(shop.rosa)


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


def test_a_slip_is_told_in_the_language_of_who_typed_it_and_kept_in_english(
    shop: Shop, cans: list[Container], rosa: Client
) -> None:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    typed = {
        "container": "K-0001",
        "reading": "648",
        "what": "before",
        "scale": str(shop.scale.pk),
        "style": "bare can",
    }
    page = rosa.post("/bay/J24-0001/charge/", typed).content.decode()
    assert "Una lata llena de este tipo pesa" in page
    assert '<html lang="es"' in page
    assert "read the scale" not in page.lower()
    assert not bay.job.can_tickets.exists()


def test_what_is_signed_in_spanish_is_recorded_in_english(shop: Shop, cans: list[Container]) -> None:
    with translation.override("es"):
        closing = Bay.check_in(shop).straight(cans[0], cans[1])
        bay = Bay.check_in(shop, plate="SMP-300")
        bay.recover("7966", "8000")
        stopped = bay.close(stopped="leak found", state_now="empty", choice="declined")
    signed = [closing.facts, *(one.certificates.get().document.facts for one in (closing, stopped))]
    assert "held Section 609 proof of certification" in signed[1]
    assert not any(word in "".join(signed) for word in ("certificación", "báscula", "lata", "fuga"))
    text = "".join(
        page.extract_text() for page in PdfReader(BytesIO(closing.certificates.get().document.pdf)).pages
    )
    assert "SERVICE CERTIFICATE" in text
    assert "CERTIFICADO" not in text


def test_the_customers_copy_says_the_same_weights_in_spanish(shop: Shop, cans: list[Container]) -> None:
    document = Bay.check_in(shop).straight(cans[0], cans[1]).certificates.get().document
    copy = customers_copy(document)
    assert copy.language == "es"
    assert copy.title == "CERTIFICADO DE SERVICIO"
    (words, ticket) = copy.blocks[:2]
    assert "503 gramos (17.7 oz)" in words.text.replace("\u00a0", " ")  # type: ignore[union-attr]
    assert "503" in str(ticket)
    assert "copia" in copy.copy.lower()
    assert copy.fingerprint == document.fingerprint
    assert customers_pdf(document).startswith(b"%PDF-1.4")


def test_a_page_that_stays_english_says_so_to_a_screen_reader(shop: Shop, rosa: Client) -> None:
    assert '<main id="content" tabindex="-1" lang="en">' in rosa.get("/book/").content.decode()
    for page in ("/bay/", "/cabinet/", "/records/", "/people/"):
        assert 'lang="en"' not in rosa.get(page).content.decode().replace('hreflang="en"', ""), page


def test_a_page_without_a_translated_word_is_marked_as_english() -> None:
    """Read as Spanish it could not be understood."""
    silent = []
    for app in ("shop", "inventory", "compliance"):
        for path in (ROOT / app).rglob("templates/**/*.html"):
            text = re.sub(r"{% block back %}.*?{% endblock %}", "", path.read_text(encoding="utf-8"))
            is_page = text.startswith('{% extends "shop/base.html" %}') and "{% block heading %}" in text
            if is_page and "translate " not in text and "{% block speaks %}en" not in text:
                silent.append(path.name)
    assert silent == []


def test_the_cabinet_and_a_cans_page_are_read_in_spanish(rosa: Client, cans: list[Container]) -> None:
    cabinet = rosa.get("/cabinet/").content.decode()
    assert "Latas selladas" in cabinet
    assert "by the book" not in cabinet
    can = rosa.get("/containers/K-0001/").content.decode()
    for said in (
        "Contiene, según el libro",
        "En su etiqueta",
        "Imprimir su etiqueta",
        "Nunca se ha pesado aquí.",
    ):
        assert said in can
    assert "Libro de refrigerante" in rosa.get("/records/").content.decode()
