"""Every kind of page, for the role that uses it: nothing to hold against it by axe, the console or a narrow phone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from compliance.models import MakerTable
from compliance.services import PackChoiceIn, choose_packs, issue_usage_report
from inventory.core.importing import What
from inventory.models import Container, Count, Import
from inventory.services import FoundIn, find_can, keep_draft, measure_hoses
from shop.core.period import Period
from shop.models import Check, Listener, Person
from shop.services import CheckIn, log_check
from tests.browser.conftest import AFTERNOON, Enter
from tests.browser.hands import Hands
from tests.browser.scenes import a_quarter, a_short_delivery, afterwards
from tests.compliance.office import a_visit, whole_paper_trail
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, NOON, Shop, bring_in, hoses_in, reading, ticket_in
from tests.shop.test_outgoing import letters_of_every_state

pytestmark = pytest.mark.browser

MARCH = datetime(2024, 3, 4, 18, 0, tzinfo=UTC)
LOOKS: tuple[tuple[str, int, int, Literal["light", "dark"]], ...] = (
    ("phone", 390, 844, "light"),
    ("desk", 1280, 900, "dark"),
)
PAGES = {
    "nobody": ("sign-on/", "words/", "check/C24-0001/1/"),
    "lee": (
        "cabinet/",
        "containers/K-0001/",
        "counts/{count}/",
        "counts/{count}/difference/R-134a/",
        "counts/{count}/difference/R-134a/note/",
        "deliveries/new/",
        "deliveries/D24-0001/",
        "deliveries/D24-0002/",
        "deliveries/D24-0002/rest/",
        "deliveries/D24-0002/lots/",
        "deliveries/D24-0002/merge/",
        "deliveries/D24-0002/papers/new/",
        "deliveries/D24-0002/invoice/",
        "deliveries/D24-0002/damaged/K-0014/",
        "deliveries/D24-0002/back/",
        "returns/RS24-0001/",
        "returns/RS24-0001/credit/",
        "counts/new/",
        "counts/opening/",
        "types/",
        "types/new/",
        "types/{kind}/",
        "counts/new/?refrigerant=R-134a",
        "containers/K-0004/ended/",
        "containers/K-0004/?only=rest",
        "containers/empties/",
        "containers/found/",
        "labels/new/",
        "moves/",
        "moves/new/",
        "shipments/",
        "shipments/new/",
        "shipments/facility/",
        "records/earlier/",
        "records/earlier/new/",
        "book/",
        "sheets/",
        "value/",
    ),
    "dev": (
        "",
        "bay/",
        "bay/new/",
        "bay/waiting/",
        "bay/J24-0002/",
        "bay/J24-0002/recovery/",
        "bay/J24-0002/leak-check/",
        "bay/J24-0002/evacuation/",
        "bay/J24-0002/leak-test/",
        "sums/leak-test/?refrigerant=R-134a&put_in=75&put_in_unit=g&pressure_start=51&temperature=55",
        "sums/vacuum/?deepest=600&deepest_unit=micron&hold_middle=690&hold_to=720&minutes=15",
        "bay/J24-0002/charge/",
        "bay/J24-0002/final-readings/",
        "bay/J24-0002/makers-table/",
        "bay/J24-0002/makers-table/{table}/take-back/",
        "sums/approach/?refrigerant=R-134a&high_side=195&low_side=31&outdoor=84",
        "bay/J24-0002/photos/new/",
        "bay/J24-0002/close/",
        "bay/J24-0002/not-charged/",
        "bay/J24-0002/choice/",
        "bay/J24-0002/asked/",
        "bay/J24-0002/hand-over/",
        "bay/J24-0002/charge/ticket/12/",
        "bay/J24-0002/charge/can/K-0003/other/",
        "bay/J24-0002/charge/wrong-refrigerant/",
        "containers/swapped/?heavier=K-0002",
        "find/?q=SMP",
        "find/lot/",
        "containers/RC-02/mixed/",
        "containers/K-0017/heel/",
        "containers/RC-02/",
        "containers/RC-02/air/",
        "sums/chart/",
        "sums/chart/?altitude=5000",
        "sums/cylinder/?refrigerant=R-152a&water=26.2&water_unit=lb&pressure=80&pressure_unit=psi&temperature=75",
        "sums/co2e/?refrigerant=R-134a&mass=8&mass_unit=oz&table=aim",
        "hoses/new/",
        "hoses/HM24-0001/",
        "sums/can/",
        "sums/can/?refrigerant=R-1234yf&net=8&net_unit=oz&can_at=68&can_at_unit=%C2%B0F&system_at=68"
        "&system_at_unit=%C2%B0F&litres=2.5&target=3.0&target_unit=oz&shell=&shell_unit=g&gauge=30&gauge_unit=psi",
        "sums/hose/",
    ),
    "rosa": (
        "",
        "bay/",
        "bay/new/",
        "bay/J24-0002/",
        "bay/J24-0002/recovery/",
        "bay/J24-0002/leak-check/",
        "bay/J24-0002/evacuation/",
        "bay/J24-0002/charge/",
        "bay/J24-0002/close/",
        "papers/C24-0001/1/?language=es",
    ),
    "marta": (
        "records/",
        "programs/",
        "programs/new/",
        "binder/",
        "binder/keep/",
        "visits/",
        "visits/new/",
        "visits/V24-0001/",
        "visits/V24-0001/?q=J24-0001",
        "visits/V24-0001/shown/",
        "visits/V24-0001/copy/",
        "visits/V24-0001/question/",
        "visits/V24-0001/pass/",
        "visits/V24-0001/end/",
        "records/old/",
        "records/old/keep/",
        "records/bundle/",
        "records/hand-over/",
        "import/",
        "import/look/",
        "import/{cars}/",
        "containers/K-0017/accept/",
        "bay/J24-0001/",
        "corrections/",
        "corrections/CS24-0001/",
        "corrections/job/J24-0001/",
        "corrections/job/J24-0001/?what=check-in-1-customer&what=label-charge&what=label-source",
        "holds/",
        "holds/J24-0001/new/",
        "holds/J24-0001/end/",
        "case-file/J24-0001/",
        "papers/CF24-0001/1/",
        "sheets/whole/",
        "papers/C24-0001/1/",
        "papers/C24-0001/1/links/",
        "house/reminders/",
        "house/backups/",
        "house/outgoing/",
        "house/outgoing/new/",
        "house/outgoing/{listener}/",
        "house/outgoing/{listener}/end/",
        "papers/UR-24-01/1/",
        "reports/",
        "people/",
        "people/{dev}/",
        "people/{dev}/leave/",
        "people/{dev}/card/",
        "people/{dev}/officer/",
        "people/stages/?first=2024-01-01&last=2024-12-31",
        "people/owner/",
        "people/copies/",
        "people/copies/new/",
        "people/copies/CC24-01/",
        "statements/",
        "statements/new/",
        "statements/ES-24-01/1/sent/",
        "statements/earlier/RE-1/",
        "statements/address/",
        "papers/ES-24-01/1/",
        "equipment/SC-1/",
        "equipment/checks/{check}/doubt/",
        "equipment/checks/{check}/doubt/decide/",
        "records/charts/",
        "records/charts/look/?kind=scale&what=check&key=SC-1",
        "house/rules/",
        "records/rules/",
        "records/rules/choose/",
        "records/rules/us-retrofit-label/",
        "reports/draft/?first=2024-01-01&last=2024-03-31&co2e=aim",
        "hoses/",
        "hoses/HM24-0001/adopt/",
    ),
}
AXE = Axe().axe_script
COLOURS: tuple[Literal["light", "dark"], ...] = ("light", "dark")
OPTIONS: dict[str, Any] = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}
# The faults alone: what is right on a page is ten times as long.
FAULTS = """async (options) => (await axe.run(options)).violations.flatMap((rule) =>
    rule.nodes.map((node) => `${rule.id} at ${node.target[0]}: ${node.failureSummary}`))"""
# axe leaves out what stands on a ticket, whose notches are drawn over it, so the colours are tried by themselves.
PAPERS = ("--paper", "--card")
INKS = ("--ink", "--quiet", "--done", "--look", "--stop", "--corrected")
ENOUGH = 4.5  # WCAG 2.2, 1.4.3 Contrast (Minimum)


@pytest.fixture
def busy(shop: Shop) -> Shop:
    """A quarter counted and signed, and a second job with a can on the car, in California."""
    california = PackChoiceIn("CA", (), DAY)
    choose_packs(shop.establishment, california, today=DAY, at=NOON, by=shop.marta)
    a_quarter(shop, work=MARCH, count=datetime(2024, 3, 29, 22, 0, tzinfo=UTC))
    issue_usage_report(
        shop.establishment, Period.quarter(2024, 1), today=date(2024, 4, 2), at=AFTERNOON, by=shop.marta
    )
    afterwards(shop, at=AFTERNOON)
    bay = Bay.check_in(shop, plate="SMP-418")
    bay.up_to_charge_again()
    ticket = bay.weigh(Container.objects.get(pk="K-0003"), "466", Moment.BEFORE).ticket
    assert ticket.number == 12  # named in an address above
    bay.type_makers_table()
    filled = hoses_in(shop, Container.objects.get(pk="K-0004"))
    measure_hoses(filled, on=DAY, at=NOON, by=shop.dev)
    a_short_delivery(shop, at=AFTERNOON)
    bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n")
    waiting = b"plate,vin,make\nSMP-8,,van\n,,\n,,bus\n"
    keep_draft(What.VEHICLES, "cars.csv", waiting, shop.establishment, at=NOON, by=shop.marta)
    turned_up = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    assert find_can(turned_up, shop.establishment, on=DAY, at=NOON, by=shop.lee).container_id == "K-0017"
    for day in (1, 2):
        off = CheckIn(date(2024, 4, day), "500 g weight", known=reading("500"), shown=reading("504"))
        log_check(shop.scale, off, today=date(2024, 4, 2), at=AFTERNOON, by=shop.dev)
    whole_paper_trail(shop)
    a_visit(shop)
    letters_of_every_state(shop)
    Person.objects.filter(username="rosa").update(language="es")
    return shop


@pytest.mark.parametrize("who", PAGES)
def test_pages_have_no_fault_on_a_light_phone_or_a_dark_screen(
    busy: Shop, enter: Enter, complaints: list[str], who: str
) -> None:
    person: Person | None = getattr(busy, who, None)
    page = enter(person)
    faults = []
    rows = {  # of their own number in each test
        "{dev}": busy.dev,
        "{table}": MakerTable.objects.get(),
        "{kind}": busy.can12,
        "{listener}": Listener.objects.get(),
        "{cars}": Import.objects.get(),
        "{count}": Count.objects.get(),
        "{check}": Check.objects.get(passed=False, on=date(2024, 4, 1)),
    }
    numbers = {name: str(row.pk) for name, row in rows.items()}
    for path in (named(one, numbers) for one in PAGES[who]):
        answer = page.goto(f"/{path}")
        assert answer is not None
        assert (answer.status, page.url.endswith(path)) == (200, True), path
        faults += faults_of(page)

    assert faults + complaints == []


def test_a_page_that_says_no_has_no_fault_either(busy: Shop, enter: Enter) -> None:
    page = enter(busy.dev)
    page.goto("/bay/J24-0002/charge/")
    dev = Hands(page)

    dev.weigh("K-0003", "16", "After, it comes off the car")

    dev.sees("16 looks like ounces")
    assert faults_of(page) == []


def test_every_ink_reads_on_every_paper_in_light_and_dark(shop: Shop, enter: Enter) -> None:
    page = enter()
    page.goto("/sign-on/")
    faint = []
    for colours in COLOURS:
        page.emulate_media(color_scheme=colours)
        for paper in PAPERS:
            for ink in INKS:
                ratio = contrast(colour(page, ink), colour(page, paper))
                faint += [f"{ink} on {paper}, {colours}: {ratio:.2f}"] if ratio < ENOUGH else []

    assert faint == []


def named(path: str, numbers: dict[str, str]) -> str:
    """The path with the numbers of this test's rows."""
    for name, number in numbers.items():
        path = path.replace(name, number)
    return path


def faults_of(page: Page) -> list[str]:
    """What axe finds and what leaves the page sideways, once in each size and once in each colours."""
    page.evaluate(AXE)
    found = []
    for size, width, height, colours in LOOKS:
        page.set_viewport_size({"width": width, "height": height})
        page.emulate_media(color_scheme=colours)
        found += [f"{page.url} {size} {colours}: {one}" for one in page.evaluate(FAULTS, OPTIONS)]
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            found.append(f"{page.url} {size}: {wide} pixels wide")
    return found


def colour(page: Page, name: str) -> list[float]:
    """The red, green and blue of one of the style sheet's colours, each from 0 to 1."""
    code: str = page.evaluate(
        "name => getComputedStyle(document.documentElement).getPropertyValue(name).trim()", name
    )
    return [int(code[place : place + 2], 16) / 255 for place in (1, 3, 5)]


def contrast(one: list[float], other: list[float]) -> float:
    """The contrast ratio of two colours, from 1 to 21, as WCAG 2.2 defines it with relative luminance."""
    darker, lighter = sorted(map(luminance, (one, other)))
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: list[float]) -> float:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
