"""Files written as one ZIP or into a folder, with the hashes that are kept of them."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from compliance.sheets.files import Files
from compliance.sheets.whole import MANIFEST, write_folder, write_zip


@dataclass(frozen=True, slots=True)
class Written:
    """What was written: the hash of the ZIP ("" for a folder), that of its manifest, how many files."""

    sha256: str
    manifest_sha256: str
    files: int


Write = Callable[[Files], Written]


def into_zip(file: IO[bytes]) -> Write:
    """Write into this file as one ZIP; the file is left at its beginning."""

    def write(files: Files) -> Written:
        number = write_zip(files, file)
        file.seek(0)
        with zipfile.ZipFile(file) as archive:
            manifest = hashlib.sha256(archive.read(MANIFEST)).hexdigest()
        file.seek(0)
        whole = hashlib.sha256()
        while piece := file.read(1 << 20):
            whole.update(piece)
        file.seek(0)
        return Written(whole.hexdigest(), manifest, number)

    return write


def into_folder(folder: Path) -> Write:
    """Write into this folder, file by file."""

    def write(files: Files) -> Written:
        number = write_folder(files, folder)
        manifest = hashlib.sha256((folder / MANIFEST).read_bytes()).hexdigest()
        return Written("", manifest, number)

    return write
