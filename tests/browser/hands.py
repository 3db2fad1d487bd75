"""A person's hands on the pages: one method for each page, with what the sample job types there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

from tests.factories import PASSWORD

WEIGHTS = ("before", "after", "reading", "charge", "tolerance")


@dataclass(slots=True)
class Hands:
    """``touch`` says that a finger presses, not a mouse. Taps and typed characters are counted: a tap for every press
    and for every field that had to be gone to; the characters of weights apart from all others."""

    page: Page
    touch: bool = False
    wait: Callable[[int], None] = lambda minutes: None
    taps: int = 0
    characters: int = 0
    of_weights: int = 0

    @property
    def main(self) -> Locator:
        """The page without its frame, whose find box answers to many names."""
        return self.page.locator("main")

    def press(self, name: str, role: str = "button") -> None:
        self.tap(self.main.get_by_role(role, name=name, exact=True))  # type: ignore[arg-type]

    def follow(self, name: str) -> None:
        self.press(name, "link")

    def go_to(self, place: str) -> None:
        """One of the four places."""
        self.tap(self.page.get_by_role("navigation", name="Places").get_by_role("link", name=place))

    def choose(self, *names: str) -> None:
        """Radio buttons and boxes to tick, by their words."""
        for name in names:
            self.tap(self.main.locator("label.option").get_by_text(name, exact=True))

    def type_in(self, **fields: str) -> None:
        """Text by the names of the form's fields."""
        for name, text in fields.items():
            field = self.field(name)
            if not field.evaluate("field => field === document.activeElement"):
                self.taps += 1
            if name in WEIGHTS:
                self.of_weights += len(text)
            elif field.input_value() != text:
                self.characters += len(text)
            field.fill(text)

    def pick(self, label: str, choice: str) -> None:
        """One of a list: a tap to open it and a tap to choose."""
        self.taps += 2
        self.main.get_by_label(label).select_option(choice)

    def field(self, name: str) -> Locator:
        return self.main.locator(f"[name={name}]:not([type=hidden])")

    def sees(self, *texts: str) -> None:
        for text in texts:
            expect(self.main).to_contain_text(text)

    def is_at(self, heading: str) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(heading)

    def tap(self, what: Locator) -> None:
        self.taps += 1
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
        self.choose("blows warm")
        self.pick("Refrigerant on the label", "R-134a")
        self.type_in(charge="500", tolerance="20")
        self.press("Open the job sheet")
        self.is_at("Recovery")

    def recover(self) -> None:
        """210 g out, into RC-02."""
        self.type_in(before="7756", after="7966")
        self.press("Done")
        self.is_at("Leak check")

    def leak_check(self, result: str = "no leak seen", detail: str = "") -> None:
        self.choose(result, "eyes", "electronic detector", "compressor", "hoses")
        if detail:
            self.type_in(detail=detail)
        self.press("Done")
        self.is_at("Evacuation" if result == "no leak seen" else "J24-0001")

    def evacuate(self) -> None:
        """35 minutes of pump and 15 of hold by the clock, which runs on between the presses."""
        self.press("Pump: starts now")
        self.sees("Pump: ends now")  # the press has arrived
        self.wait(35)
        self.press("Pump: ends now")
        self.sees("Pump: start again now")
        self.press("Vacuum hold: starts now")
        self.sees("Vacuum hold: ends now")
        self.wait(15)
        self.press("Vacuum hold: ends now")
        self.sees("Vacuum hold: start again now")
        self.type_in(deepest="600", hold_from="600", hold_to="720")
        self.choose("held")
        self.press("Done")
        self.is_at("Charge")

    def weigh(self, can: str, reading: str, what: str) -> None:
        self.type_in(container=can, reading=reading)
        self.choose(what)
        self.keep()

    def keep(self) -> None:
        """The big button, whatever number it says it keeps."""
        self.tap(self.main.locator("#weigh button.main"))

    def stop_at(self) -> int:
        """The reading at which the page says to stop, in grams."""
        number = self.main.locator(".figure.big .number")
        expect(number).to_be_visible()
        return int(number.inner_text().removesuffix("g").strip())

    def finish_the_charge(self) -> None:
        """With the shop's allowance for the hoses, as the page offers it."""
        self.press("The charge is in")
        self.is_at("Final readings")

    def read_the_vents(self) -> None:
        self.type_in(vent="44", low_side="31")
        self.choose("Port caps are on")
        self.press("Done")
        self.is_at("J24-0001")

    def close(self) -> None:
        self.follow("Close the job")
        self.press("Sign and close")
