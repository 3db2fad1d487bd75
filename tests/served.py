"""A shop served from a database of its own by a process that can be killed: ``python -m tests.served FOLDER``.

The parent loads everything once and forks a server; when that is killed it forks the next one at once, on the same
address. It says a line for each: the process, and once at the start the session of Dev Larkin.
"""

from __future__ import annotations

import json
import os
import secrets
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

ROOT = Path(__file__).parents[1]


@dataclass
class Served:
    """What a test holds of it. ``pid`` is the server that answers now."""

    folder: Path
    process: subprocess.Popen[str]
    said: IO[str]
    url: str
    session: str
    pid: int

    def kill(self) -> None:
        """End the server at once, in the middle of whatever it does. The next one waits for ``again``."""
        os.kill(self.pid, signal.SIGKILL)
        assert json.loads(self.said.readline()) == {"ended": self.pid}

    def again(self) -> None:
        """Let the next server begin."""
        assert self.process.stdin is not None
        self.process.stdin.write("again\n")
        self.process.stdin.flush()
        self.pid = json.loads(self.said.readline())["pid"]

    def rows(self, question: str) -> list[Any]:
        """What stands in the database, read beside the server."""
        with sqlite3.connect(self.folder / "tarebook.sqlite3", timeout=20) as database:
            return database.execute(question).fetchall()


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    environment = os.environ | {
        "TAREBOOK_DATA": str(folder),
        "TAREBOOK_SECRET": secrets.token_hex(32),
        "DJANGO_SETTINGS_MODULE": "shop.settings",
    }
    environment.pop("DATABASE_URL", None)
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.served"],
        cwd=ROOT,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    begun = json.loads(process.stdout.readline())
    shop = Served(folder, process, process.stdout, begun["url"], begun["session"], begun["pid"])
    try:
        yield shop
    finally:
        process.terminate()
        process.communicate(timeout=20)


def serve() -> None:
    """Set the shop up, then serve it until the end."""
    session = _set_up()
    door = socket.create_server(("127.0.0.1", 0))
    address = door.getsockname()
    about = {"url": f"http://127.0.0.1:{address[1]}", "session": session}
    children: list[int] = []
    signal.signal(signal.SIGTERM, lambda *_: _end(children))
    while True:
        child = os.fork()
        if not child:
            _answer(door)
        door.close()  # so that nothing listens when the child is gone
        children[:] = [child]
        print(json.dumps(about | {"pid": child}), flush=True)
        os.waitpid(child, 0)
        print(json.dumps({"ended": child}), flush=True)
        if not sys.stdin.readline():
            sys.exit()
        door = socket.create_server(address)


def _set_up() -> str:
    """A car ready to be charged and a case of twelve cans; the session of Dev Larkin."""
    import django
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connections
    from django.test import Client
    from django.utils import timezone

    ours = ("auth", "axes", "contenttypes", "sessions", "shop", "inventory", "compliance")
    settings.MIGRATION_MODULES = dict.fromkeys(ours)
    django.setup()
    call_command("migrate", run_syncdb=True, verbosity=0)
    from tests.compliance.work import Bay
    from tests.factories import NOON, make_shop, receive

    settings.PRACTICE_OFFSET = NOON.replace(hour=21) - timezone.now()
    shop = make_shop()
    receive(shop)
    Bay.check_in(shop).up_to_charge()
    client = Client(SERVER_NAME="127.0.0.1")
    client.force_login(shop.dev, backend="django.contrib.auth.backends.ModelBackend")
    for path in ("charge/", "charge/look/"):
        assert (
            client.get(f"/bay/J24-0001/{path}").status_code == 200
        )  # so that every fork has loaded all it needs
    assert client.post("/bay/J24-0001/charge/", {"reading": "no number"}).status_code == 200
    connections.close_all()
    return client.cookies["sessionid"].value


def _answer(door: socket.socket) -> None:
    from django.core.wsgi import get_wsgi_application
    from waitress import create_server

    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    create_server(get_wsgi_application(), sockets=[door], threads=8).run()
    os._exit(0)


def _end(children: list[int]) -> None:
    for child in children:
        os.kill(child, signal.SIGKILL)
    os._exit(0)


if __name__ == "__main__":
    serve()
