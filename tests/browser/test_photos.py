"""A photo at the car: one tap, and what was typed beside it stays."""

from __future__ import annotations

import pytest
from playwright.sync_api import FilePayload, Page, expect

from compliance.models import Photo
from tests.browser.conftest import PHONE, Enter
from tests.browser.hands import Hands
from tests.browser.test_every_page import faults_of
from tests.compliance.pictures import BLUE, encoded, halves, marks, opened, picture_of
from tests.compliance.work import Bay
from tests.factories import Shop

pytestmark = pytest.mark.browser


def choose(page: Page, content: bytes, name: str = "photo.jpg", kind: str = "image/jpeg") -> None:
    """What the camera hands over."""
    folded = page.locator("#photos details:not([open]) > summary")
    if folded.count():
        folded.click()
    page.locator("#photo_photo").set_input_files(FilePayload(name=name, mimeType=kind, buffer=content))


def test_a_photo_appears_and_what_was_typed_beside_it_is_still_there(shop: Shop, enter: Enter) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/leak-check/")
    dev = Hands(page, touch=True)
    expect(dev.main).not_to_contain_text("loads the page anew")
    dev.choose("eyes", "condenser", "leak found")
    dev.type_in(detail="condenser, lower left, dye")

    choose(page, encoded(halves((4000, 2000)), exif=marks(orientation=3)))
    dev.type_in(caption="lower left")
    with page.expect_request("**/photos/new/*") as request:
        dev.press("Keep the photo")

    dev.sees("Photo kept: Leak place.", "Leak place, Apr 2", "lower left")
    expect(dev.main).not_to_contain_text("loads the page anew")
    picture = dev.main.get_by_role("img", name="Leak place, taken Apr 2 2024")
    picture.scroll_into_view_if_needed()
    expect(picture).to_have_js_property("naturalWidth", 1600)
    expect(dev.field("detail")).to_have_value("condenser, lower left, dye")
    expect(dev.main.get_by_label("leak found", exact=True)).to_be_checked()
    assert faults_of(page) == []
    photo = Photo.objects.get()
    kept = opened(bytes(photo.jpeg))
    assert kept.size == (1600, 800)
    assert kept.getpixel((10, 10))[2] > BLUE[2] - 20  # type: ignore[index] # it stands upright
    assert len(request.value.post_data_buffer or b"") < 60_000  # shrunk before it was sent

    dev.press("Done")

    dev.is_at("J24-0001")  # the stage's own key was still good
    dev.sees("Leak place, Apr 2")
    expect(dev.main.locator(".sheet .row", has_text="Leak check")).to_contain_text("Done")


def test_a_refused_photo_is_told_beside_its_field_and_the_next_one_is_kept(shop: Shop, enter: Enter) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page, touch=True)
    dev.type_in(reading="466")

    choose(page, b"%PDF-1.7 not a photo")
    dev.press("Keep the photo")

    dev.sees("This file is not a whole photo in JPEG, PNG or WebP.")
    expect(page.locator("#photo_photo")).to_be_focused()
    assert faults_of(page) == []
    choose(page, picture_of("293 g"))
    dev.press("Keep the photo")
    dev.sees("Photo kept: Scale.")
    expect(dev.field("reading")).to_have_value("466")
    assert Photo.objects.get().stage == "charge"


def test_a_photo_that_does_not_get_through_is_told_and_can_be_sent_again(
    shop: Shop, enter: Enter, complaints: list[str]
) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/")
    dev = Hands(page, touch=True)
    choose(page, picture_of("label"))
    page.context.set_offline(True)

    dev.press("Keep the photo")

    dev.sees("The photo did not get through.")
    complaints.clear()  # the browser's own word for it
    page.context.set_offline(False)
    dev.press("Keep the photo")
    dev.sees("Photo kept: Under-hood label.")


def test_a_photo_needs_no_script(shop: Shop, enter: Enter) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE, java_script_enabled=False)
    page.goto("/bay/J24-0001/leak-check/")
    dev = Hands(page, touch=True)
    dev.sees("Keep what you typed above first: sending a photo loads the page anew.")

    choose(page, picture_of("condenser"))
    dev.press("Keep the photo")

    dev.is_at("Leak check")
    dev.sees("Photo kept: Leak place.")


def test_the_photo_alone_and_its_setting_aside_have_no_fault(shop: Shop, enter: Enter) -> None:
    photo = Bay.check_in(shop).photograph()
    page = enter(shop.marta, **PHONE)
    page.goto("/bay/J24-0001/")
    dev = Hands(page, touch=True)
    assert faults_of(page) == []
    dev.main.get_by_role("img").tap()
    expect(page).to_have_url(f"/bay/J24-0001/photos/{photo.pk}/")
    expect(page.get_by_role("img")).to_have_js_property("naturalWidth", 640)
    page.go_back()

    dev.main.get_by_role("link", name="Set aside").tap()
    dev.is_at("Set this photo aside")
    assert faults_of(page) == []
    dev.type_in(why="the wrong car")
    dev.press("Set it aside")

    dev.sees("The photo was set aside.", "the wrong car")
    expect(dev.main.get_by_role("img")).to_have_count(0)
    assert faults_of(page) == []
