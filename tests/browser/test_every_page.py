"""Every kind of page, for the role that uses it: nothing to hold against it by axe, the console or a narrow phone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from compliance.services import issue_usage_report
from inventory.models import Container
from shop.core.period import Period
from shop.models import Person
from tests.browser.conftest import AFTERNOON, Enter
from tests.browser.scenes import a_quarter
from tests.compliance.work import Bay, Moment
from tests.factories import Shop

pytestmark = pytest.mark.browser

MARCH = datetime(2024, 3, 4, 18, 0, tzinfo=UTC)
SIZES = {"phone": (390, 844), "desk": (1280, 900)}
COLOURS: tuple[Literal["light", "dark"], ...] = ("light", "dark")
PAGES = {
    "nobody": ("sign-on/", "words/", "check/C24-0001/1/"),
    "lee": (
        "cabinet/",
        "containers/K-0001/",
        "containers/RC-02/",
        "containers/K-0003/weigh/",
        "deliveries/",
        "deliveries/new/",
        "deliveries/D24-0001/",
        "deliveries/D24-0001/invoice/",
        "counts/",
        "counts/new/",
        "cylinders/new/",
        "types/new/",
        "suppliers/new/",
        "book/",
    ),
    "dev": (
        "",
        "find/?q=SMP",
        "bay/",
        "bay/new/",
        "bay/J24-0002/",
        "bay/J24-0002/check-in/",
        "bay/J24-0002/recovery/",
        "bay/J24-0002/leak-check/",
        "bay/J24-0002/repair/",
        "bay/J24-0002/evacuation/",
        "bay/J24-0002/final-readings/",
        "bay/J24-0002/repair/leave-out/",
        "bay/J24-0002/charge/",
        "bay/J24-0002/close/",
        "bay/J24-0002/not-charged/",
        "bay/J24-0001/",
        "containers/K-0001/heel/",
    ),
    "marta": (
        "records/",
        "papers/",
        "papers/C24-0001/1/",
        "papers/C24-0001/1/reissue/",
        "papers/UR-24-01/1/",
        "reports/",
        "reports/draft/?first=2024-01-01&last=2024-03-31",
        "counts/1/",
        "people/",
        "people/new/",
        "equipment/",
        "equipment/SC-1/",
        "equipment/new/",
        "house/rules/",
    ),
}
AXE = Axe().axe_script
OPTIONS = {"resultTypes": ["violations"]}


@pytest.fixture
def busy(shop: Shop) -> Shop:
    """A quarter counted and signed, and a second job with a can on the car."""
    a_quarter(shop, work=MARCH, count=datetime(2024, 3, 29, 22, 0, tzinfo=UTC))
    issue_usage_report(
        shop.establishment, Period.quarter(2024, 1), today=date(2024, 4, 2), at=AFTERNOON, by=shop.marta
    )
    bay = Bay.check_in(shop, plate="SMP-418")
    bay.up_to_charge_again()
    bay.weigh(Container.objects.get(pk="K-0003"), "466", Moment.BEFORE)
    return shop


@pytest.mark.parametrize("who", PAGES)
def test_pages_have_no_fault_on_a_phone_or_a_screen_in_light_or_dark(
    busy: Shop, enter: Enter, complaints: list[str], who: str
) -> None:
    person: Person | None = getattr(busy, who, None)
    page = enter(person)
    faults = []
    for path in PAGES[who]:
        answer = page.goto(f"/{path}")
        assert answer is not None
        assert (answer.status, page.url.endswith(path)) == (200, True), path
        faults += faults_of(page)

    assert faults + complaints == []


def faults_of(page: Page) -> list[str]:
    """What axe finds and what leaves the page sideways, in every size and colour."""
    page.evaluate(AXE)
    found = []
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        for colours in COLOURS:
            page.emulate_media(color_scheme=colours)
            answer: dict[str, Any] = page.evaluate("options => axe.run(options)", OPTIONS)
            found += [f"{page.url} {size} {colours}: {one}" for one in violations(answer)]
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            found.append(f"{page.url} {size}: {wide} pixels wide")
    return found


def violations(answer: dict[str, Any]) -> list[str]:
    return [
        f"{rule['id']} at {node['target'][0]}: {node['failureSummary']}"
        for rule in answer["violations"]
        for node in rule["nodes"]
    ]
