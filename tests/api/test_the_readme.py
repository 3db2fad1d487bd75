"""What the manual says a program can do works as it stands there."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from inventory.models import WeighTicket
from tests.api.program import Program
from tests.factories import cans_of, make_shop, receive

MANUAL = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def _block(language: str) -> str:
    found = re.search(rf"## From a program.*?```{language}\n(.*?)```", MANUAL, re.DOTALL)
    assert found is not None
    return found[1]


@pytest.fixture
def served(live_db: None, live_server: Any) -> dict[str, str]:
    """A shop with a case of cans, its address, and Dev's key."""
    shop = make_shop()
    cans_of(receive(shop))
    return {"ADDRESS": live_server.url, "KEY": Program(shop.dev).key}


def _said(command: list[str], block: str, served: dict[str, str]) -> str:
    text = block.replace("http://127.0.0.1:8000", served["ADDRESS"])
    environment = os.environ | {"KEY": served["KEY"]}
    done = subprocess.run([*command, text], capture_output=True, text=True, timeout=60, env=environment)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_lines_for_a_shell_list_cans_and_weigh_one(served: dict[str, str]) -> None:
    block = re.sub(r"export KEY=.*\n", "", _block("sh"))
    said = _said(["bash", "-euc"], block, served)
    assert '"code":"K-0012"' in said
    assert WeighTicket.objects.get().reading_text == "466"


def test_the_lines_for_python_read_the_book_and_print_what_is_wrong(served: dict[str, str]) -> None:
    said = _said([sys.executable, "-c"], _block("python"), served)
    assert "K-0012" in said
    assert re.search(r"^reading \S+ .+", said, re.MULTILINE)
    assert not WeighTicket.objects.exists()
