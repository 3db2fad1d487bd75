#!/usr/bin/env python3
"""Set Tarebook up and run it, with nothing but Python itself.

The first run makes a virtual environment in .venv and installs the pinned packages of one list in
requirements/, every one checked against its hash; later runs start at once until a list changes.
"""

from __future__ import annotations

import getpass
import hashlib
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote, urlsplit, urlunsplit

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / "requirements.stamp"
SETS = ("runtime", "test", "dev")  # each contains the one before
# When the whole suite is run; a test file stays in one process where it can, for it shares what was made for it.
SIDE_BY_SIDE = ["--numprocesses=logical", "--maxprocesses=4", "--dist=worksteal"]
ASKS_THE_DATABASE = ["-m", "database and not one_engine"]
LOCAL_SERVER = ("127.0.0.1", 5432)


class Refused(Exception):  # noqa: N818 (read by people, not a fault of the program)
    """Something outside this script is missing; the message says what to do about it."""


# --- The virtual environment


def lock_hash(name: str) -> str:
    """Return the SHA-256 of the list requirements/NAME.txt."""
    return hashlib.sha256((ROOT / "requirements" / f"{name}.txt").read_bytes()).hexdigest()


def installed() -> dict[str, str]:
    """Return what the stamp says was installed: the name of each list and its hash."""
    if not (PYTHON.exists() and STAMP.exists()):
        return {}
    return dict(line.split() for line in STAMP.read_text(encoding="ascii").splitlines())


def set_up(name: str) -> None:
    """Make .venv hold at least the list NAME, as it stands in requirements/ now."""
    present = installed()
    if present.get(name) == lock_hash(name):
        return
    wanted = max([name, *present], key=SETS.index)  # never take a developer's tools away
    print(f"Installing requirements/{wanted}.txt into .venv; this needs the network ...", flush=True)
    make_venv()
    install(wanted)
    covered = SETS[: SETS.index(wanted) + 1]
    STAMP.write_text("".join(f"{one} {lock_hash(one)}\n" for one in covered), encoding="ascii")


def make_venv() -> None:
    """Make an empty .venv, unless a whole one stands there already."""
    if PYTHON.exists() and STAMP.exists():
        return
    made = captured([sys.executable, "-m", "venv", "--clear", str(VENV)])
    if made.returncode:
        shutil.rmtree(VENV, ignore_errors=True)
        raise Refused(
            f"{made.stdout}\nPython could not make a virtual environment in {VENV}.\n"
            "On Debian and Ubuntu its parts are a package of their own: apt-get install python3-venv"
        )
    STAMP.touch()


def install(name: str) -> None:
    """Install the list NAME into .venv, refusing any package whose hash is not in the list; Python compiles on use."""
    pip = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-compile"]
    done = captured([*pip, "--require-hashes", "-r", str(ROOT / "requirements" / f"{name}.txt")])
    if done.returncode:
        raise Refused(f"{done.stdout}\nThe packages of requirements/{name}.txt could not be installed.")


# --- Running things


def captured(command: list[str]) -> subprocess.CompletedProcess[str]:
    """Run a command and keep all it says, for the case that it fails."""
    return subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)


def wait_for(command: list[str], environment: Mapping[str, str]) -> int:
    """Run a command to its end and return its exit code.

    Ctrl-C reaches the command as well: it is left to finish in its own way before we stop too.
    """
    interrupt: KeyboardInterrupt | None = None
    with subprocess.Popen(command, cwd=ROOT, env=environment) as process:
        while process.returncode is None:
            try:
                process.wait()
            except KeyboardInterrupt as pressed:
                interrupt = pressed
    if interrupt:
        raise interrupt
    return process.returncode


def become(command: list[str]) -> int:
    """Let a command take this script's place, so that a signal to one is a signal to the other."""
    if os.name != "nt":
        sys.stdout.flush()
        os.chdir(ROOT)
        os.execv(command[0], command)
    return wait_for(command, os.environ)


def manage_py(*arguments: str) -> list[str]:
    """Return the command line of a management command."""
    return [str(PYTHON), str(ROOT / "manage.py"), *arguments]


# --- The tests


def pytest(arguments: list[str], url: str = "") -> int:
    """Run pytest on the database at the URL, or on SQLite when none is given.

    How this machine is set up for a real shop does not reach the tests, and they leave nothing in its
    data folder.
    """
    ours = ("DATABASE_URL", "DJANGO_SETTINGS_MODULE", "TAREBOOK_")
    environment = {name: word for name, word in os.environ.items() if not name.startswith(ours)}
    if "TAREBOOK_CHROMIUM" in os.environ:
        environment["TAREBOOK_CHROMIUM"] = os.environ["TAREBOOK_CHROMIUM"]
    if url:
        environment["DATABASE_URL"] = url
    with tempfile.TemporaryDirectory(prefix="tarebook-") as folder:
        return wait_for([str(PYTHON), "-m", "pytest", *arguments], {**environment, "TAREBOOK_DATA": folder})


def answers(address: tuple[str, int]) -> bool:
    """Tell whether a server listens at the address."""
    try:
        socket.create_connection(address, timeout=2).close()
    except OSError:
        return False
    return True


def sign_on_error(url: str) -> str:
    """Return why PostgreSQL refuses a connection to its own database `postgres`, or nothing."""
    connect = "import sys, psycopg; psycopg.connect(sys.argv[1], connect_timeout=5).close()"
    home = urlunsplit(urlsplit(url)._replace(path="/postgres"))
    tried = captured([str(PYTHON), "-c", connect, home])
    return tried.stdout.strip().rpartition("\n")[2] if tried.returncode else ""


def postgresql_url() -> tuple[str, str]:
    """Return the PostgreSQL to test on, and why not when there is none.

    Named by DATABASE_URL, it has to work. Otherwise a server on this machine is used when it lets this
    user in without a password. The database in the address is never opened: Django makes one beside it
    with `test_` before its name, here with this process's number, so that two runs do not meet.
    """
    named = os.environ.get("DATABASE_URL", "")
    if named.startswith(("postgres:", "postgresql:")):
        return named, sign_on_error(named)
    host, port = LOCAL_SERVER
    if not answers(LOCAL_SERVER):
        return "", f"no server on {host}:{port}, and DATABASE_URL names none"
    url = f"postgresql://{quote(getpass.getuser())}@{host}:{port}/tarebook_{os.getpid()}"
    reason = sign_on_error(url)
    return ("", reason) if reason else (url, "")


def test_on_postgresql(arguments: list[str]) -> tuple[int, str]:
    """Run pytest on PostgreSQL where there is one; return the exit code and the result in words.

    Without one the run is skipped and says so; where CI=true, that is a failure.
    """
    url, reason = postgresql_url()
    if url and not reason:
        code = pytest(arguments, url)
        return code, outcome(code)
    if url or os.environ.get("CI") == "true":
        return 1, f"FAILED: not reached ({reason})"
    return 0, f"not run ({reason})"


def outcome(code: int) -> str:
    """Return pytest's exit code in words."""
    return "passed" if code == 0 else f"FAILED (pytest exit code {code})"


# --- The commands


def demo(arguments: list[str]) -> int:
    """Serve an invented shop to try things on, at the address it prints: demo [--port N]."""
    set_up("runtime")
    os.environ["TAREBOOK_PRACTICE"] = "yes"  # said on every page and paper
    os.environ["DATABASE_URL"] = ""  # never a real shop's database
    os.environ.setdefault("TAREBOOK_DATA", str(ROOT / "data" / "practice"))
    return become(manage_py("demo", *arguments))


def test(arguments: list[str]) -> int:
    """Run the tests on SQLite and on PostgreSQL: test [any pytest arguments].

    The whole suite runs on SQLite. Of it, PostgreSQL gets every test that asks for a database, since to the others it
    is all the same, but no story, which takes long. Tests named by arguments run on both, whatever they ask for.
    """
    set_up("test")
    whole = [] if arguments else SIDE_BY_SIDE
    arguments = ["--ignore=tests/browser", *arguments, *whole]
    code = pytest(arguments)
    other_code, other_result = test_on_postgresql([*arguments, *(ASKS_THE_DATABASE if whole else [])])
    print(f"\nSQLite:     {outcome(code)}\nPostgreSQL: {other_result}", flush=True)
    return code or other_code


def browser(arguments: list[str]) -> int:
    """Run the browser tests, which need Chromium: browser [any pytest arguments]."""
    set_up("dev")
    return pytest(["-m", "browser", *(arguments or ["tests/browser", *SIDE_BY_SIDE])])


def manage(arguments: list[str]) -> int:
    """Run a management command: manage COMMAND [its arguments]."""
    set_up("runtime")
    return become(manage_py(*arguments))


def bench(arguments: list[str]) -> int:
    """Measure the busiest pages and papers: bench [its arguments]."""
    set_up("runtime")
    return become(manage_py("bench", *arguments))


def pictures(arguments: list[str]) -> int:
    """Take the README's pictures anew, from a fresh practice shop in Chromium."""
    set_up("dev")
    return wait_for([str(PYTHON), str(ROOT / "pictures" / "take.py"), *arguments], os.environ)


def check(arguments: list[str]) -> int:
    """Run every check a change has to pass, as the project's CI does."""
    bash = shutil.which("bash")
    if bash is None:
        raise Refused("The checks are a bash script, .ci/run, and there is no bash on this machine.")
    return become([bash, str(ROOT / ".ci" / "run"), *arguments])


def setup(arguments: list[str]) -> int:
    """Only make .venv ready: setup [runtime | test | dev]."""
    name = arguments[0] if arguments else "runtime"
    if name not in SETS:
        raise Refused(f"There is no list {name!r} in requirements/: it is one of {', '.join(SETS)}.")
    set_up(name)
    return 0


COMMANDS: dict[str, Callable[[list[str]], int]] = {
    one.__name__: one for one in (demo, test, browser, manage, bench, pictures, check, setup)
}


def usage() -> str:
    """Return the help text: what this script is, and one line for each command."""
    lines = (f"  {name:<8} {(one.__doc__ or '').splitlines()[0]}" for name, one in COMMANDS.items())
    return "\n".join([str(__doc__), "usage: python3 run.py COMMAND ...", "", *lines])


def main(arguments: list[str]) -> int:
    """Run the command that the first argument names, with the rest as its own."""
    if sys.version_info < (3, 11):
        raise Refused(f"Tarebook needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    if not arguments or arguments[0] in {"-h", "--help", "help"}:
        print(usage())
        return 0
    name, *rest = arguments
    if name not in COMMANDS:
        raise Refused(f"There is no command {name!r}.\n\n{usage()}")
    return COMMANDS[name](rest)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except Refused as refusal:
        sys.exit(str(refusal))
    except KeyboardInterrupt:
        sys.exit(130)
