"""Photos of a job: kept once, shown to the shop and to nobody else, set aside in the open."""

from __future__ import annotations

import io
import re
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import connection
from django.template.loader import render_to_string
from django.test import Client, RequestFactory, override_settings

from compliance.core.stages import StageKind
from compliance.models import Photo, PhotoSetAside
from compliance.queries.photos import label_photo
from compliance.services import photos as photos_service
from compliance.services import set_photo_aside
from compliance.services.photos import MOST
from inventory.models import Container
from shop.core.canonical import sha256
from shop.core.findings import Refused
from shop.models import Person
from shop.records import drop_guards, install_guards
from tests.compliance.pictures import encoded, halves, marks, opened, picture_of
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.contracts.test_house_style import queries
from tests.factories import Shop, make_establishment, make_owner
from tests.pages import errors, said, send, text

What = Photo.What


def file(content: bytes, name: str = "photo.jpg", kind: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, kind)


def take(client: Client, bay: Bay, *, stage: str = "check-in", **typed: Any) -> Any:
    """Send the photo form as the page of a stage would."""
    given = {"photo": file(picture_of("label")), "what": "label", "back": "stage"}
    return send(client, f"/bay/{bay.job.number}/photos/new/?stage={stage}", **(given | typed))


def refused_photo(answer: Any) -> list[str]:
    return [str(one) for one in answer.context["photo_form"].errors["photo"]]


# --- Taking one


def test_dev_takes_a_photo_and_comes_back_to_the_stage(bay: Bay, dev: Client) -> None:
    answer = take(dev, bay, stage="leak-check", what="leak", caption="condenser, lower left")

    assert answer.headers["Location"] == "/bay/J24-0001/leak-check/"
    assert said(dev.get(answer.headers["Location"])) == ["Photo kept: Leak place."]
    photo = Photo.objects.get()
    assert (photo.what, photo.stage, photo.caption) == ("leak", "leak-check", "condenser, lower left")
    assert (photo.by, photo.width, photo.height) == (bay.shop.dev, 640, 480)
    assert photo.sha256 == sha256(bytes(photo.jpeg))


@pytest.mark.parametrize(
    "elsewhere", ["//elsewhere.example/", "https://elsewhere.example/", "/people/", "", "\0", "job"]
)
def test_the_way_back_leads_to_the_job_or_its_stage_and_nowhere_else(
    bay: Bay, dev: Client, elsewhere: str
) -> None:
    answer = take(dev, bay, back=elsewhere)
    assert answer.headers["Location"] == "/bay/J24-0001/"


def test_no_place_of_a_photo_is_kept(bay: Bay, dev: Client) -> None:
    take(dev, bay, photo=file(encoded(halves(), exif=marks(orientation=6))))

    photo = Photo.objects.get()
    assert not opened(bytes(photo.jpeg)).getexif()
    assert b"Exif" not in bytes(photo.jpeg)
    assert (photo.width, photo.height) == (200, 400)


@pytest.mark.parametrize(
    ("content", "name", "kind"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "photo.jpg", "image/jpeg"),
        (b"<script>alert(1)</script>", "photo.png", "image/png"),
        (encoded(halves(), "GIF"), "photo.webp", "image/webp"),
    ],
)
def test_a_name_does_not_make_a_photo(bay: Bay, dev: Client, content: bytes, name: str, kind: str) -> None:
    answer = take(dev, bay, photo=file(content, name, kind))

    assert answer.status_code == 200
    assert ["not a whole photo" in one for one in refused_photo(answer)] == [True]
    assert not Photo.objects.exists()


def test_a_jpeg_under_another_name_is_a_photo_all_the_same(bay: Bay, dev: Client) -> None:
    take(dev, bay, photo=file(picture_of("label"), "label.svg", "image/svg+xml"))
    assert opened(bytes(Photo.objects.get().jpeg)).format == "JPEG"


def test_a_form_without_a_photo_says_so(bay: Bay, dev: Client) -> None:
    assert refused_photo(take(dev, bay, photo="photo.jpg")) == ["Take a photo first, or choose one."]
    assert refused_photo(take(dev, bay, photo=file(b""))) == ["The photo is empty. Take it again."]


def test_an_unknown_stage_has_no_page(bay: Bay, dev: Client) -> None:
    assert take(dev, bay, stage="painting").status_code == 404


def test_the_same_photo_twice_is_kept_once_and_the_first_answers(bay: Bay, dev: Client, rosa: Client) -> None:
    take(dev, bay)
    answer = take(rosa, bay, what="other", caption="again")

    assert "kept already" in said(rosa.get(answer.headers["Location"]))[0]
    assert Photo.objects.get().by == bay.shop.dev


def test_the_same_photo_at_another_stage_is_another(bay: Bay) -> None:
    bay.photograph()
    bay.photograph(What.SCALE, StageKind.CHARGE)
    assert Photo.objects.count() == 2


def test_a_closed_job_takes_no_more_photos(bay: Bay, cans: list[Container], dev: Client) -> None:
    bay.straight(cans[0], cans[1])

    answer = take(dev, bay)

    assert refused_photo(answer) == ["J24-0001 is closed. It takes no more photos."]
    assert "J24-0001 is closed. It takes no more photos." in text(answer)
    assert 'type="file"' not in answer.content.decode()
    assert not Photo.objects.exists()


def test_a_job_keeps_only_so_many(bay: Bay, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos_service, "MOST", 2)
    bay.photograph(sent=picture_of("one"))
    bay.photograph(sent=picture_of("two"))
    with pytest.raises(Refused, match="2 photos already"):
        bay.photograph(sent=picture_of("three"))
    assert MOST == 60
    assert bay.photograph(sent=picture_of("two")).pk  # known already, so it is not one more


# --- Seeing them


def test_the_photo_itself_is_a_jpeg_and_nothing_can_be_made_of_it(bay: Bay, lee: Client) -> None:
    photo = bay.photograph()

    answer = lee.get(f"/bay/J24-0001/photos/{photo.pk}/")

    assert answer.content == bytes(photo.jpeg)
    heads = {
        name: answer.headers[name] for name in ("Content-Type", "X-Content-Type-Options", "Cache-Control")
    }
    assert list(heads.values()) == ["image/jpeg", "nosniff", "private, no-store"]
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert answer.headers["Content-Disposition"].startswith("inline")


def test_another_shop_sees_and_touches_none_of_them(bay: Bay, sign_on: SignOn) -> None:
    photo = bay.photograph()
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))

    assert stranger.get(f"/bay/J24-0001/photos/{photo.pk}/").status_code == 404
    assert take(stranger, bay).status_code == 404
    aside = send(stranger, f"/bay/J24-0001/photos/{photo.pk}/set-aside/", why="not mine to set aside")
    assert aside.status_code == 404
    assert Photo.objects.shown().count() == 1


def test_a_photo_answers_only_under_its_own_job(bay: Bay, dev: Client) -> None:
    photo = bay.photograph()
    Bay.check_in(bay.shop, plate="SMP-999")
    assert dev.get(f"/bay/J24-0002/photos/{photo.pk}/").status_code == 404


def test_a_page_shows_what_and_when_and_by_whom(bay: Bay, dev: Client) -> None:
    photo = bay.photograph(caption="tolerance is hard to read")

    page = dev.get("/bay/J24-0001/").content.decode()

    (picture,) = re.findall("<img [^>]*>", page)
    assert 'alt="Under-hood label, taken Apr 2 2024, 12:01 by Dev Larkin"' in picture
    assert 'width="640" height="480" loading="lazy"' in picture
    assert f'src="/bay/J24-0001/photos/{photo.pk}/"' in picture
    assert "tolerance is hard to read" in page


@pytest.mark.parametrize(
    ("page", "shown"),
    [("", 2), ("check-in/", 1), ("charge/", 1), ("leak-check/", 0), ("evacuation/", 0)],
)
def test_a_stage_shows_its_own_photos_and_the_job_all(bay: Bay, dev: Client, page: str, shown: int) -> None:
    bay.photograph()
    bay.photograph(What.SCALE, StageKind.CHARGE)
    assert dev.get(f"/bay/J24-0001/{page}").content.decode().count("<img") == shown


@pytest.mark.parametrize(
    ("page", "what"),
    [
        ("", "label"),
        ("check-in/", "label"),
        ("charge/", "scale"),
        ("leak-check/", "leak"),
        ("recovery/", "other"),
    ],
)
def test_what_the_photo_shows_is_chosen_before_by_the_stage(
    bay: Bay, dev: Client, page: str, what: str
) -> None:
    seen = dev.get(f"/bay/J24-0001/{page}").content.decode()
    (chosen,) = re.findall(r'name="what" value="(\w+)" id="photo_what_\d" required checked', seen)
    assert chosen == what


def test_from_the_job_page_a_photo_belongs_to_the_stage_the_job_has_reached(
    bay: Bay, cans: list[Container], dev: Client
) -> None:
    bay.recover()
    bay.leak_check()
    assert "/bay/J24-0001/photos/new/?stage=leak-check" in dev.get("/bay/J24-0001/").content.decode()
    bay.evacuate()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    assert "/bay/J24-0001/photos/new/?stage=charge" in dev.get("/bay/J24-0001/").content.decode()
    bay.weigh(cans[0], "128")
    bay.finals()
    assert "/bay/J24-0001/photos/new/?stage=final-readings" in dev.get("/bay/J24-0001/").content.decode()


def test_the_front_office_looks_and_takes_none(bay: Bay, lee: Client) -> None:
    bay.photograph()
    answer = lee.get("/bay/J24-0001/")
    page = answer.content.decode()
    assert "<img" in page
    assert 'type="file"' not in page
    assert "Set aside" not in text(answer)
    assert take(lee, bay).status_code == 403


def test_the_photo_form_and_the_stage_form_have_keys_of_their_own(bay: Bay, dev: Client) -> None:
    page = dev.get("/bay/J24-0001/leak-check/").content.decode()
    keys = re.findall(r'name="once" value="([^"]+)"', page)
    assert len(keys) == len(set(keys)) == 2


def test_every_photo_costs_a_page_no_further_question(bay: Bay, dev: Client) -> None:
    bay.photograph(sent=picture_of("one"))
    asked = queries(dev, "/bay/J24-0001/")
    bay.photograph(sent=picture_of("two"))
    bay.photograph(sent=picture_of("three"))
    assert queries(dev, "/bay/J24-0001/") == asked


# --- Set aside


def test_a_photo_taken_by_mistake_is_set_aside_and_kept(bay: Bay, dev: Client, marta: Client) -> None:
    photo = bay.photograph()

    answer = send(dev, f"/bay/J24-0001/photos/{photo.pk}/set-aside/", why="the wrong car")

    assert said(dev.get(answer.headers["Location"])) == ["The photo was set aside."]
    assert PhotoSetAside.objects.get().why == "the wrong car"
    assert "<img" not in dev.get("/bay/J24-0001/").content.decode()
    assert "the wrong car" not in text(dev.get("/bay/J24-0001/"))
    assert dev.get(f"/bay/J24-0001/photos/{photo.pk}/").status_code == 404
    sentence = "Set aside by Dev Larkin: Under-hood label, taken Apr 2, 12:01 by Dev Larkin; the wrong car"
    assert sentence in text(marta.get("/bay/J24-0001/"))
    assert bytes(Photo.objects.get(pk=photo.pk).jpeg) == bytes(photo.jpeg)


def test_a_photo_is_set_aside_once_and_with_a_reason(bay: Bay, dev: Client) -> None:
    photo = bay.photograph()
    address = f"/bay/J24-0001/photos/{photo.pk}/set-aside/"

    assert errors(send(dev, address, why="no"), "why") == ["Say why in a few words."]
    set_photo_aside(photo, why="blurred", at=bay.later(), by=bay.by)
    assert send(dev, address, why="blurred").status_code == 404
    with pytest.raises(Refused, match="set aside already"):
        set_photo_aside(photo, why="blurred", at=bay.later(), by=bay.by)


def test_a_photo_that_was_set_aside_does_not_come_back(bay: Bay, dev: Client) -> None:
    set_photo_aside(bay.photograph(sent=picture_of("label")), why="the wrong car", at=bay.later(), by=bay.by)
    assert refused_photo(take(dev, bay)) == ["This photo was set aside: the wrong car. Take a new one."]


# --- The label of a car that was here before


@pytest.fixture
def second_visit(bay: Bay, cans: list[Container]) -> Bay:
    """The same car a week later; on its first visit its label was photographed."""
    bay.photograph()
    bay.photograph(What.SCALE, StageKind.CHARGE)
    bay.straight(cans[0], cans[1])
    return Bay.check_in(bay.shop, at=bay.clock + timedelta(days=7))


def known_label(person: Person, query: str) -> str:
    request = RequestFactory().get(f"/bay/new/?{query}")
    request.user = person
    return " ".join(render_to_string("compliance/jobs/_known_label.html", request=request).split())


def test_the_newest_label_photo_of_the_car_is_offered_again(second_visit: Bay) -> None:
    dev = second_visit.shop.dev
    assert "Label photo of J24-0001, Apr 2 2024: does it still say the same?" in known_label(
        dev, "plate=smp-417"
    )
    newer = second_visit.photograph()
    assert "Label photo of J24-0002, Apr 9 2024" in known_label(dev, "plate=SMP-417")
    set_photo_aside(newer, why="blurred", at=second_visit.later(), by=dev)
    assert "Label photo of J24-0001" in known_label(dev, "plate=SMP-417")


def test_a_car_is_known_by_its_vin_too(shop: Shop) -> None:
    Bay.check_in(shop, vin="1M8GDM9AXKP042788", plate="").photograph()
    assert "Label photo of J24-0001" in known_label(shop.dev, "vin=1m8gdm9axkp042788")


@pytest.mark.parametrize("query", ["", "plate=", "plate=SMP-999", "vin=%00", "plate=" + "x" * 500])
def test_a_car_that_was_never_here_has_none(second_visit: Bay, query: str) -> None:
    assert known_label(second_visit.shop.dev, query) == ""


def test_another_shop_is_offered_none_of_our_labels(second_visit: Bay) -> None:
    otis = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")
    assert known_label(otis, "plate=SMP-417") == ""
    assert label_photo(second_visit.job.vehicle) is not None


# --- Beside the certificate


def test_the_certificates_page_shows_the_photos_of_its_job(
    bay: Bay, cans: list[Container], lee: Client
) -> None:
    bay.photograph(caption="the label")
    wrong = bay.photograph(What.OTHER, sent=picture_of("thumb"), caption="a thumb")
    set_photo_aside(wrong, why="a thumb", at=bay.later(), by=bay.by)
    paper = bay.straight(cans[0], cans[1]).certificates.get().document

    page = text(lee.get(f"/papers/{paper.number}/1/"))

    assert "Photos of this job" in page
    assert "the label" in page
    assert "a thumb" not in page
    assert "photo" not in paper.facts
    assert "hoto" not in text(lee.get(f"/check/{paper.number}/1/"))


def test_a_certificate_of_a_job_without_photos_has_no_such_heading(
    bay: Bay, cans: list[Container], lee: Client
) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    assert "Photos of this job" not in text(lee.get(f"/papers/{paper.number}/1/"))


# --- The whole book


def test_verify_counts_the_photos_and_finds_one_that_was_changed(bay: Bay) -> None:
    photo = bay.photograph()
    out = io.StringIO()
    call_command("verify", stdout=out)
    assert "1 photos" in out.getvalue()
    drop_guards()
    with connection.cursor() as cursor:
        cursor.execute("UPDATE compliance_photo SET sha256 = 'a' || substr(sha256, 2, 62) || 'g'")
    install_guards()
    with pytest.raises(SystemExit):
        call_command("verify", stdout=out)
    assert f"photo-changed: J24-0001 photo {photo.pk}: the stored picture" in out.getvalue()


# --- Too much


def test_a_request_larger_than_any_form_is_answered_with_a_sentence(bay: Bay, dev: Client) -> None:
    with override_settings(LARGEST_REQUEST=2000):
        answer = take(dev, bay)
    assert answer.status_code == 413
    assert "a photo may have 12 MB at most. Nothing was kept." in text(answer)
    assert not Photo.objects.exists()


def test_more_text_than_any_form_holds_is_answered_with_a_sentence(dev: Client) -> None:
    dev.raise_request_exception = False
    answer = dev.post("/bay/new/", {"complaint": "x" * (2 * 1024 * 1024 + 1)})
    assert answer.status_code == 400
    assert "too large or not whole" in text(answer)
