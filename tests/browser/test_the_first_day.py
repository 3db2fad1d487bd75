"""The owner's first day: a file is looked at, put right, written and taken back, on a phone and on a screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator

from inventory.models import Container, Import, Movement
from shop.services import retire_equipment
from tests.browser.conftest import DESK, PHONE, Enter
from tests.browser.hands import Hands
from tests.browser.test_every_page import faults_of
from tests.factories import NOON, SET_UP, Shop

pytestmark = pytest.mark.browser
BAD = (
    "refrigerant,kind,state,cans,lot,gross,unit,scale\n"
    "R-134a,12-oz can,sealed,3,L24B-07,,,\n"
    "R-134a,12-oz can,open,1,,900,g,SC-1\n"
)


def send(marta: Hands, file: Path, content: str) -> None:
    file.write_text(content)
    marta.page.goto("/import/")
    marta.choose("Opening stock")
    field: Locator = marta.main.get_by_label("File", exact=True)
    field.set_input_files(file)
    marta.press("Look at the file")


@pytest.mark.parametrize("looks", [PHONE, DESK], ids=["phone", "desk"])
def test_a_file_is_put_right_written_and_taken_back(
    shop: Shop, enter: Enter, looks: dict[str, Any], tmp_path: Path
) -> None:
    marta = Hands(enter(shop.marta, **looks))

    send(marta, tmp_path / "stock.csv", BAD)
    marta.sees("1 cell is in trouble.", "A full can of this kind weighs about 466 g.")
    assert marta.main.get_by_role("button").count() == 0
    assert not Container.objects.filter(kind="can").exists()

    send(marta, tmp_path / "stock.csv", BAD.replace("900", "295"))
    marta.sees("2 rows would be written.", "Nothing is written yet.")
    marta.press("Write all 2 rows")
    marta.sees("2 rows are written.")
    assert Container.objects.filter(kind="can").count() == 4

    marta.follow("The cans with their numbers")
    marta.sees("Write each number on its can", "K-0004")
    marta.page.goto(f"/import/{Import.objects.get().pk}/")
    marta.tap(marta.main.get_by_text("Take it back"))
    marta.type_in(why="the wrong file")
    marta.press("Undo the import")
    marta.sees("The import is undone, all of it.")
    assert not Container.objects.filter(kind="can", fate=None).exists()
    assert Movement.objects.filter(entry__reverses=None).count() == 4


def test_the_first_day_on_todays_page_leads_to_what_is_missing(shop: Shop, enter: Enter) -> None:
    retire_equipment(shop.scale, last_day=SET_UP, why="sold", at=NOON, by=shop.marta)
    marta = Hands(enter(shop.marta))

    marta.page.goto("/")
    marta.sees("Ready to work: 5 of 6 done. You can start jobs.")
    assert faults_of(marta.page) == []
    marta.follow("Do it The scale, its unit and its steps")
    assert marta.page.url.endswith("/equipment/new/")
