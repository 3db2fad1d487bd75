"""Phones at an open job whose signal can be taken away, and what lies on them."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from compliance.models import CanTicket
from tests.browser.hands import Hands

JOB, CHARGE = "/bay/J24-0001/", "/bay/J24-0001/charge/"
LEFT = """async () => ({
  caches: (await caches.keys()).filter((one) => one !== "tarebook words"), // they name nobody
  databases: (await indexedDB.databases()).map((one) => one.name),
  marks: Object.keys(localStorage).filter((mark) => mark !== "tarebook:seen"),
})"""


def ready(page: Page, path: str = CHARGE) -> Hands:
    """Open a page of the job and wait until this device has its copies."""
    page.goto(path)
    page.wait_for_selector("#pile[data-kept]", state="attached")
    return Hands(page, touch=True)


def lose_signal(page: Page) -> None:
    """Cut the network; a page that asks an entry by rules of its own takes them up."""
    page.context.set_offline(True)
    while page.locator("#offline").count() and not page.evaluate("Boolean(globalThis.tarebookRules)"):
        page.wait_for_timeout(50)


def pile(page: Page) -> Locator:
    return page.locator("#pile")


def not_sent(page: Page, count: int) -> None:
    expect(pile(page).locator(".count")).to_contain_text(f"{count} not sent.")
    expect(pile(page).locator("li")).to_have_count(count)


def readings() -> list[tuple[str, str, str]]:
    rows = CanTicket.objects.order_by("ticket__number").select_related("ticket")
    return [(row.ticket.container_id, row.ticket.reading_text, row.moment) for row in rows]


BEFORE_IT = [("K-0001", "466", "before"), ("K-0001", "128", "after"), ("K-0002", "464", "before")]
