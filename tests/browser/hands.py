"""A person's hands on the pages: one method for each page, with what the sample job types there."""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

from tests.factories import PASSWORD


@dataclass(frozen=True, slots=True)
class Hands:
    """``touch`` says that a finger presses, not a mouse."""

    page: Page
    touch: bool = False

    @property
    def main(self) -> Locator:
        """The page without its frame, whose find box answers to many names."""
        return self.page.locator("main")

    def press(self, name: str, role: str = "button") -> None:
        self._press(self.main.get_by_role(role, name=name, exact=True))  # type: ignore[arg-type]

    def follow(self, name: str) -> None:
        self.press(name, "link")

    def go_to(self, place: str) -> None:
        """One of the four places."""
        self._press(self.page.get_by_role("navigation", name="Places").get_by_role("link", name=place))

    def choose(self, *names: str) -> None:
        """Radio buttons and boxes to tick, by their words."""
        for name in names:
            self._press(self.main.locator("label.option").get_by_text(name, exact=True))

    def type_in(self, **fields: str) -> None:
        """Text by the names of the form's fields."""
        for name, text in fields.items():
            self.field(name).fill(text)

    def field(self, name: str) -> Locator:
        return self.main.locator(f"[name={name}]:not([type=hidden])")

    def sees(self, *texts: str) -> None:
        for text in texts:
            expect(self.main).to_contain_text(text)

    def is_at(self, heading: str) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(heading)

    def _press(self, what: Locator) -> None:
        if self.touch:
            what.tap()
        else:
            what.click()

    # --- The pages

    def sign_on(self, name: str) -> None:
        self.page.goto("/sign-on/")
        self.type_in(username=name, password=PASSWORD)
        self.press("Sign on")
        self.is_at("Today")

    def check_in(self) -> None:
        """A 500 g car, plus or minus 20 g."""
        self.go_to("Bay")
        self.follow("Check a car in")
        self.type_in(plate="SMP-417", description="2014 sedan, blue", customer="Ines Calloway")
        self.type_in(complaint="blows warm", charge="500", tolerance="20")
        self.main.get_by_label("Refrigerant on the label").select_option("R-134a")
        self.press("Open the job sheet")
        self.is_at("J24-0001")

    def recover(self) -> None:
        """210 g out, into RC-02."""
        self.follow("Carry on: Recovery")
        self.type_in(started_at="2024-04-02T13:05", before="7756", after="7966")
        self.press("Done")
        self.is_at("J24-0001")

    def leak_check(self, result: str = "No leak seen", detail: str = "") -> None:
        self.follow("Carry on: Leak check")
        self.choose("eyes", "electronic detector", "compressor", "hoses", result)
        self.type_in(instrument="LD-1", detail=detail)
        self.press("Done")
        self.is_at("J24-0001")

    def leave_out_the_repair(self) -> None:
        self.follow("Repair")
        self.follow("Not needed, or stopped")
        self.choose("Not needed because")
        self.type_in(reason="no leak was seen")
        self.press("Keep it so")
        self.is_at("J24-0001")

    def evacuate(self) -> None:
        """35 minutes, and the vacuum held for 15."""
        self.follow("Carry on: Evacuation")
        self.type_in(started_at="2024-04-02T13:30", stopped_at="2024-04-02T14:05", deepest="600 micron")
        self.type_in(hold_minutes="15", hold_from="600 micron", hold_to="720 micron")
        self.choose("Held")
        self.press("Done")
        self.is_at("J24-0001")

    def weigh(self, can: str, reading: str, what: str) -> None:
        self.type_in(container=can, reading=reading)
        self.choose(what)
        self.press("Keep the reading")

    def stop_at(self) -> int:
        """The reading at which the page says to stop, in grams."""
        number = self.main.locator(".figure.big .number")
        expect(number).to_be_visible()
        return int(number.inner_text().removesuffix("g").strip())

    def finish_the_charge(self) -> None:
        """With the shop's allowance for the hoses, as the page offers it."""
        self.press("The charge is in")
        self.is_at("J24-0001")

    def read_the_vents(self) -> None:
        self.follow("Carry on: Final readings")
        self.type_in(vent="44 °F", low_side="31 psi")
        self.choose("Port caps are on")
        self.press("Done")
        self.is_at("J24-0001")

    def close(self) -> None:
        self.follow("Close the job")
        self.press("Sign and close")
