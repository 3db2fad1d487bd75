"""How the tests read a paper back: its text, its numbers, its pages as pictures."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

from pypdf import PdfReader

from compliance.core.paper import Paper
from compliance.pdf.drawing import draw


def pages(paper: Paper) -> list[str]:
    """The text of every page, with single spaces."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(draw(paper))).pages]


def text(paper: Paper) -> str:
    return " ".join(pages(paper))


def figure(shown: str) -> int:
    """A printed amount in tenths of a gram: "10,946", "−35", "+0.4"."""
    sign = -1 if shown.startswith("−") else 1
    whole, _, tenth = shown.lstrip("−+").replace(",", "").partition(".")
    return sign * (int(whole) * 10 + int(tenth or 0))


def decoded(pdf: bytes, folder: Path, dots: int) -> list[str]:
    """What a QR reader finds on the first page, rendered at so many dots an inch."""
    (folder / "paper.pdf").write_bytes(pdf)
    picture = ["pdftoppm", "-r", str(dots), "-l", "1", "-png", "-singlefile", "paper.pdf", "page"]
    subprocess.run(picture, cwd=folder, check=True)
    found = subprocess.run(
        ["zbarimg", "--quiet", "--raw", "page.png"], cwd=folder, capture_output=True, text=True, check=True
    )
    return found.stdout.split()


def has(*programs: str) -> bool:
    return all(shutil.which(program) for program in programs)


def type_sizes(paper: Paper) -> set[float]:
    """Every size at which a letter is set."""
    contents = (page.get_contents() for page in PdfReader(io.BytesIO(draw(paper))).pages)
    return {
        float(size)
        for content in contents
        if content is not None
        for size in re.findall(rb"/F\d+\+\d+ ([\d.]+) Tf", content.get_data())
    }
