"""What the house looks like from outside: its files, their names and sizes, and the pins."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
APPS = ("shop", "inventory", "compliance")
LOCKS = ("runtime", "test", "dev")
LONGEST_MODULE = 300
LONGEST_TEST_MODULE = 450  # a page with all its refusals

# Put together here, so that this file does not name one either.
REGISTRIES = [
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("python" + "hosted", "org"),
        ("registry", "npmjs", "org"),
        ("npmjs", "com"),
        ("yarnpkg", "com"),
        ("unpkg", "com"),
        ("jsdelivr", "net"),
        ("proxy", "golang", "org"),
        ("crates", "io"),
        ("rubygems", "org"),
        ("repo", "maven", "apache", "org"),
        ("deb", "debian", "org"),
    )
]
MADE_HERE = {
    ".venv",
    ".hypothesis",
    ".import_linter_cache",
    ".mypy_cache",
    ".pytest_cache",
    ".ruff_cache",
    "__pycache__",
    "data",
}
UNFINISHED = re.compile(r"\b(" + "TO" + "DO|FIX" + "ME)" + r"\b")
PIN = re.compile(r"[a-z0-9][a-z0-9-]*(\[[a-z,]+\])?==[^\s;]+( ; [^\\]+)? \\")
HASH = re.compile(r" {4}--hash=sha256:[0-9a-f]{64}( \\)?")


@cache
def repository() -> tuple[Path, ...]:
    """Every file that is in the repository or would be with the next commit; all files where there is no git."""
    if not (ROOT / ".git").exists():
        kept = (path for path in ROOT.rglob("*") if not MADE_HERE & {*path.relative_to(ROOT).parts})
        return tuple(sorted(path for path in kept if path.is_file()))
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    return tuple(sorted({ROOT / name for name in listed.split("\0") if name and (ROOT / name).is_file()}))


def texts() -> Iterator[tuple[str, str]]:
    """The path and text of every file that is text."""
    for path in repository():
        content = path.read_bytes()
        if b"\0" not in content:
            yield path.relative_to(ROOT).as_posix(), content.decode("utf-8", errors="replace")


def modules() -> list[Path]:
    """Every Python file that people write: all but the migrations."""
    return [path for path in repository() if path.suffix == ".py" and "migrations" not in path.parts]


def test_the_repository_is_not_empty() -> None:
    assert ROOT / "tests/contracts/test_house.py" in repository()


def test_no_file_names_the_host_of_a_package_registry() -> None:
    found = [(path, host) for path, text in texts() for host in REGISTRIES if host in text.lower()]

    assert found == []


@pytest.mark.parametrize("name", ["uv.lock", "pylock.toml", "poetry.lock", "package-lock.json"])
def test_no_lock_that_carries_addresses_is_kept(name: str) -> None:
    assert [path for path in repository() if path.name == name] == []


@pytest.mark.parametrize("name", LOCKS)
def test_every_line_of_a_lock_is_a_pin_or_a_hash(name: str) -> None:
    lines = (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8").splitlines()

    assert [line for line in lines if line and not PIN.fullmatch(line) and not HASH.fullmatch(line)] == []


@pytest.mark.parametrize("name", LOCKS)
def test_every_pin_has_a_hash(name: str) -> None:
    lines = (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    pairs = zip(lines, [*lines[1:], ""], strict=True)

    assert [line for line, after in pairs if PIN.fullmatch(line) and not HASH.fullmatch(after)] == []


@pytest.mark.parametrize(("smaller", "bigger"), [("runtime", "test"), ("test", "dev")])
def test_a_bigger_lock_contains_the_smaller_with_the_same_pins(smaller: str, bigger: str) -> None:
    assert pins(smaller) <= pins(bigger)


def pins(name: str) -> set[str]:
    """The pins of a lock, such as ``asgiref==3.13.0``."""
    text = (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8")
    return set(re.findall(r"^\S+==\S+", text, flags=re.MULTILINE))


def test_every_module_says_by_its_name_what_it_is() -> None:
    vague = {"helpers", "helper", "utils", "util", "manager", "managers", "misc", "common"}
    found = [path for path in modules() if path.relative_to(ROOT).parts[0] in APPS]

    assert [str(path) for path in found if vague & {path.stem, *path.relative_to(ROOT).parts}] == []


def test_no_module_is_longer_than_a_reader_can_hold() -> None:
    lengths = {str(path.relative_to(ROOT)): len(path.read_text("utf-8").splitlines()) for path in modules()}

    most = {path: LONGEST_TEST_MODULE if path.startswith("tests/") else LONGEST_MODULE for path in lengths}
    assert {path: length for path, length in lengths.items() if length > most[path]} == {}


def test_nothing_is_marked_as_left_for_later() -> None:
    code = (".py", ".html", ".css", ".js", ".toml", ".sql")
    found = [path for path, text in texts() if path.endswith(code) and UNFINISHED.search(text)]

    assert found == []


def test_the_two_commands_of_the_readme_are_commands_of_run_py() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    script = (ROOT / "run.py").read_text(encoding="utf-8")
    named = set(re.findall(r"python3? run\.py ([a-z]+)", readme))

    assert {"demo", "test"} <= named
    assert [name for name in sorted(named) if f"\ndef {name}(" not in script] == []
