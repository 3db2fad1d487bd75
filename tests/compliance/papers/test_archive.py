"""The file itself: the same bytes for the same paper, fit for an archive, checkable by its QR."""

from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from reportlab.pdfbase import pdfdoc

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.paper import Contents, Entry, Paper, Tab
from compliance.core.usage_report import usage_report
from compliance.pdf.archive import end_streams_on_a_new_line
from compliance.pdf.bay_chart import draw_bay_chart
from compliance.pdf.drawing import draw
from shop.pdf.qr import qr_svg_box, qr_svg_path
from tests.compliance.papers.reading import decoded, has
from tests.compliance.papers.sample import certificate_facts, draft_facts, usage_report_facts
from tests.compliance.papers.test_bay_chart import sheet

ROOT = Path(__file__).resolve().parents[3]
JAVA = Path("/usr/share/java")  # where Debian keeps libpdfbox2-java, libjaxb-api-java and libactivation-java
JARS = (
    "preflight",
    "pdfbox2",
    "fontbox2",
    "xmpbox",
    "commons-logging",
    "commons-io",
    "jaxb-api",
    "javax.activation",
)
ONE_LINE = (
    "import hashlib;"
    "from compliance.core.certificate import certificate; from compliance.core.usage_report import usage_report;"
    "from compliance.pdf.drawing import draw; from tests.compliance.papers import sample as s;"
    "print(hashlib.sha256(draw(certificate(s.certificate_facts()))+draw(usage_report(s.usage_report_facts()))).hexdigest())"
)


def missing(what: str) -> None:
    """In CI the tools are there; on somebody's desk their absence is said and the test passes by."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"{what} is missing, and CI must have it")
    pytest.skip(f"{what} is missing here; CI has it")


def test_the_same_facts_make_the_same_bytes_in_every_process() -> None:
    worlds = [
        {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C"},
        {"PYTHONHASHSEED": "2", "TZ": "Asia/Kathmandu", "LC_ALL": "C.UTF-8", "SOURCE_DATE_EPOCH": "1"},
    ]
    seen = {
        subprocess.run(
            [sys.executable, "-c", ONE_LINE],
            cwd=ROOT,
            env={"PATH": os.environ["PATH"], **world},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for world in worlds
    }
    here = draw(certificate(certificate_facts())) + draw(usage_report(usage_report_facts()))

    assert seen == {hashlib.sha256(here).hexdigest()}


def test_papers_drawn_at_the_same_time_do_not_mix() -> None:
    typed = ("Łukasz", "Żółć", "Ýmir", "Ďurica", "Ğül", "Őri", "Ẁyn", "Ċikk")
    papers = [certificate(with_customer(name)) for name in typed]
    found: dict[int, bytes] = {}

    def one(place: int) -> None:
        found[place] = draw(papers[place])

    threads = [threading.Thread(target=one, args=(place,)) for place in range(len(papers))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [found[place] for place in range(len(papers))] == [draw(paper) for paper in papers]


def with_customer(name: str) -> CertificateFacts:
    facts = certificate_facts()
    return replace(facts, car=replace(facts.car, customer=name))


def test_every_stream_ends_on_a_line_of_its_own() -> None:
    data = draw(usage_report(usage_report_facts()))

    assert getattr(pdfdoc.PDFStream.format, "ends_on_a_new_line", False)
    assert len(re.findall(rb"\nendstream\n", data)) == data.count(b"endstream") > 5


def test_wrapping_the_streams_twice_changes_nothing() -> None:
    once = pdfdoc.PDFStream.format
    end_streams_on_a_new_line()

    assert pdfdoc.PDFStream.format is once


def test_the_file_says_its_title_language_and_date() -> None:
    reader = PdfReader(io.BytesIO(draw(certificate(certificate_facts()))))
    info, root = reader.metadata, reader.root_object

    assert info is not None
    assert info.title == "SERVICE CERTIFICATE C26-0187"
    assert info.author == "Copper Gulch Auto Repair"
    assert str(info["/CreationDate"]) == "D:20260611120400-07'00'"
    assert str(root["/Lang"]) == "en"
    assert b'pdfaid:conformance="B"' in draw(certificate(certificate_facts()))


def test_every_font_is_inside_the_file_once() -> None:
    data = draw(usage_report(usage_report_facts()))

    assert data.count(b"/Subtype /TrueType") == data.count(b"/FontFile2") == 3


@pytest.mark.parametrize(
    "name", ["certificate", "practice", "report", "draft", "tabs", "chart", "chart in Spanish"]
)
def test_a_checker_calls_it_valid_for_the_archive(name: str, tmp_path: Path) -> None:
    jars = [JAVA / f"{jar}.jar" for jar in JARS]
    if not has("java") or not all(jar.exists() for jar in jars):
        missing("Java with the preflight of Apache PDFBox")
    path = tmp_path / f"{name}.pdf"
    path.write_bytes(files()[name])
    checker = "org.apache.pdfbox.preflight.Validator_A1b"
    said = subprocess.run(
        ["java", "-cp", ":".join(map(str, jars)), checker, str(path)],
        capture_output=True,
        text=True,
        check=False,
    )

    assert "is a valid PDF/A-1b file" in said.stdout, said.stdout
    assert said.returncode == 0


def files() -> dict[str, bytes]:
    charts = {"chart": draw_bay_chart(sheet()), "chart in Spanish": draw_bay_chart(sheet("es"), "es")}
    return charts | {name: draw(paper) for name, paper in papers().items()}


def papers() -> dict[str, Paper]:
    typed = with_customer("Łukasz Кузнецов ✎ 李 (dash) \\")
    return {
        "certificate": certificate(typed),
        "practice": certificate(replace(typed, practice=True, version=2, replaces="Replaces version 1.")),
        "report": usage_report(usage_report_facts()),
        "draft": usage_report(draft_facts()),
        "tabs": with_tabs(usage_report(usage_report_facts())),
    }


def with_tabs(paper: Paper) -> Paper:
    """The same under two tabs, with contents that lead there."""
    entries = (Entry("", "Parts"), Entry("one", "1  Accounts", "two"), Entry("two", "2  The rest"))
    tabs = (Tab("one", "1", "Accounts", "First part"), *paper.blocks, Tab("two", "2", "The rest", "Second"))
    return replace(paper, blocks=(Contents("Contents", entries), *tabs, *paper.blocks))


@pytest.mark.parametrize("dots", [72, 100, 150])
def test_the_qr_leads_to_the_check_page_even_from_a_coarse_print(dots: int, tmp_path: Path) -> None:
    if not has("zbarimg", "pdftoppm"):
        missing("zbarimg or pdftoppm")
    paper = certificate(certificate_facts())

    assert decoded(draw(paper), tmp_path, dots) == [paper.check_url]


def test_a_long_address_still_fits_beside_the_title(tmp_path: Path) -> None:
    if not has("zbarimg", "pdftoppm"):
        missing("zbarimg or pdftoppm")
    url = "https://a-rather-long-name-of-a-shop.on-its-own-machine.example/check/UR-26-02/12/"
    paper = usage_report(replace(usage_report_facts(), check_url=url, practice=True))

    assert decoded(draw(paper), tmp_path, 100) == [url]


def test_the_qr_can_be_clicked_too() -> None:
    data = draw(certificate(certificate_facts()))

    assert data.count(b"/Subtype /Link") == 1
    assert b"/URI (https://book.example/check/C26-0187/1/)" in data


def test_the_same_qr_can_be_drawn_on_a_screen() -> None:
    path = qr_svg_path("https://book.example/check/C26-0187/1/")

    assert re.fullmatch(r"(M\d+ \d+h\d+v1h-\d+z)+", path)
    assert path.startswith("M0 0h7v1h-7z")
    assert qr_svg_box("https://book.example/check/C26-0187/1/") == "-4 -4 37 37"
