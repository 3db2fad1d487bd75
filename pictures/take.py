"""Take the pictures of the README anew: serve a fresh practice shop and photograph its pages in Chromium.

``python3 run.py pictures`` runs this with the development packages. Chromium is where TAREBOOK_CHROMIUM says.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

HERE = Path(__file__).resolve().parent
CHROMIUM = os.environ.get("TAREBOOK_CHROMIUM", "/usr/bin/chromium")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
PORT = 8763
ADDRESS = f"http://127.0.0.1:{PORT}"
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
}
DESK: dict[str, Any] = {"viewport": {"width": 1280, "height": 860}}
PASSWORD = "practice-2026"  # noqa: S105 - the invented shop's
LONGEST_WAIT = 300  # seconds until the practice shop is made and served


def main() -> None:
    """Serve, look, and leave nothing behind but the pictures."""
    with tempfile.TemporaryDirectory(prefix="tarebook-pictures-") as folder:
        environment = os.environ | {
            "TAREBOOK_DATA": folder,
            "TAREBOOK_PRACTICE": "yes",
            "DATABASE_URL": "",
        }
        command = [sys.executable, str(HERE.parent / "manage.py"), "demo", "--port", str(PORT)]
        server = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL)
        try:
            wait_for_server(server)
            with sync_playwright() as driver:
                browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
                take_all(browser)
                browser.close()
        finally:
            server.terminate()
            server.wait()


def wait_for_server(server: subprocess.Popen[bytes]) -> None:
    """Until it answers. Raises RuntimeError when it ended or took too long."""
    until = time.monotonic() + LONGEST_WAIT
    while time.monotonic() < until and server.poll() is None:
        try:
            urllib.request.urlopen(f"{ADDRESS}/sign-on/", timeout=2).close()  # noqa: S310 - our own server
        except OSError:
            time.sleep(0.5)
        else:
            return
    raise RuntimeError("the practice shop was not served")


def take_all(browser: Browser) -> None:
    dev = signed_on(browser, "dev", PHONE)
    dev.goto("/bay/J26-0028/charge/")
    dev.locator("#id_reading").fill("303")
    dev.locator("#answer .sum").wait_for()
    dev.locator(".ticket.charge").scroll_into_view_if_needed()
    dev.evaluate("scrollTo(0, document.querySelector('.ticket.charge').offsetTop - 12)")
    take(dev, "charge-phone")
    dev.locator("#id_reading").fill("10.8")
    dev.get_by_role("button", name="Use 306 g").wait_for()
    dev.evaluate(
        "scrollTo(0, document.querySelector('#id_reading').getBoundingClientRect().top + scrollY - 48)"
    )
    take(dev, "slip-phone")
    dark = signed_on(browser, "rosa", PHONE | {"color_scheme": "dark"})
    dark.goto("/bay/J26-0027/evacuation/")
    take(dark, "vacuum-phone")
    marta = signed_on(browser, "marta", DESK)
    take(marta, "today-desk")
    marta.goto("/papers/C26-0022/1/")
    marta.locator("article.paper").scroll_into_view_if_needed()
    marta.evaluate("scrollTo(0, document.querySelector('article.paper').offsetTop - 8)")
    take(marta, "certificate")
    lee = signed_on(browser, "lee", DESK)
    lee.goto("/deliveries/new/")
    take(lee, "receive-desk")


def signed_on(browser: Browser, name: str, looks: dict[str, Any]) -> Page:
    """A browser of one's own, on Today."""
    page = browser.new_context(base_url=ADDRESS, **looks).new_page()
    page.goto("/sign-on/")
    page.locator("[name=username]").fill(name)
    page.locator("[name=password]").fill(PASSWORD)
    page.locator("main button.main").click()
    page.get_by_role("heading", level=1).filter(has_text="Today").wait_for()
    return page


def take(page: Page, name: str) -> None:
    page.wait_for_timeout(400)  # fonts and the page's own scripts
    page.screenshot(path=HERE / f"{name}.png")


if __name__ == "__main__":
    main()
