"""Bringing in from a spreadsheet: looked at first, written as one, taken back as one."""

from __future__ import annotations

import io
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from openpyxl import Workbook

from compliance.queries.whole_book import whole_book_findings
from inventory.core.importing import What
from inventory.models import Container, Count, Import, ImportDraft, Movement
from inventory.services import TicketIn, weigh
from shop.core.findings import Refused
from shop.core.mass import grams
from shop.models import Card, Person, Vehicle
from shop.records import final_models
from tests.compliance.work import Bay
from tests.factories import NOON, Shop, book_of, bring_in, reading
from tests.pages import errors, send, text

STOCK = (
    "refrigerant,kind,state,cans,lot,gross,unit,scale\n"
    "R-134a,12-oz can,sealed,3,L24B-07,,,\n"
    "R-134a,12-oz can,open,1,,295,g,SC-1\n"
    "r-1234yf,8-oz can,Sealed,2,,,,\n"
)
PEOPLE = (
    "name,sign_on_name,role,card_program,card_number,card_issued_on\n"
    "Sam Ortega,sam,technician,Sample Certification Program,SAMPLE-9001,2020-05-04\n"
    "Ivy Stone,ivy,front office,,,\n"
)
VEHICLES = (
    "plate;state;vin;year;make;model;unit_number\n"
    "SMP-700;CO;;2014;blue;hatchback;12\n"
    ";;1M8GDM9AXKP042788;1989;white;bus;\n"
)


def file(content: str | bytes, name: str = "stock.csv") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content.encode() if isinstance(content, str) else content)


def xlsx(*rows: list[Any], more: bool = False) -> bytes:
    book = Workbook()
    page: Any = book.active
    for row in rows:
        page.append(row)
    if more:
        book.create_sheet("second").cell(row=300, column=1, value="something")
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def look(client: Client, what: str, content: str | bytes) -> Any:
    """Send a file; the preview, or the form with what is wrong with the whole file."""
    answer = send(client, "/import/", what=what, file=file(content))
    return client.get(answer["Location"]) if answer.status_code == 302 else answer


def write(client: Client, what: str, content: str | bytes) -> Any:
    assert look(client, what, content).status_code == 200
    return send(client, "/import/look/", sha256=ImportDraft.objects.get().sha256)


def troubles(page: Any) -> list[tuple[int, str]]:
    return [(one.row, one.column) for one in page.context["look"].troubles]


def rows_kept() -> int:
    final = sum(model._default_manager.count() for model in final_models())
    return final + Person.objects.count() + Vehicle.objects.count()


def test_the_preview_shows_what_would_be_written_and_writes_nothing(shop: Shop, marta: Client) -> None:
    before = rows_kept()
    page = look(marta, "opening-stock", STOCK)

    assert "3 rows would be written." in text(page)
    assert "Nothing is written yet." in text(page)
    assert "Write all 3 rows" in text(page)
    assert rows_kept() == before


def test_opening_stock_is_written_as_an_opening_count_of_today(shop: Shop, marta: Client) -> None:
    page = text(marta.get(write(marta, "opening-stock", STOCK)["Location"]))

    assert "stock.csv" in page
    book = book_of(shop)
    assert (book["K-0001"], book["K-0004"], book["K-0006"]) == (grams(340), grams(169), grams(227))
    assert Container.objects.get(pk="K-0002").lot == "L24B-07"
    assert Container.objects.get(pk="K-0004").tickets.get().reading_text == "295"
    assert Count.objects.get().opening
    assert not ImportDraft.objects.exists()


def test_an_import_of_stock_is_undone_as_one(shop: Shop, marta: Client) -> None:
    address = write(marta, "opening-stock", STOCK)["Location"]
    page = text(marta.get(send(marta, address, why="the wrong file")["Location"]))

    assert "The import is undone, all of it." in page
    assert "the wrong file" in page
    assert [one for one in book_of(shop) if one.startswith("K")] == []
    assert Movement.objects.balances(["K-0001", "K-0004"]) == {"K-0001": grams(0), "K-0004": grams(0)}
    assert whole_book_findings() == []
    assert errors(send(marta, address, why="again"), "why") == ["This import is already undone."]
    assert write(marta, "opening-stock", STOCK).status_code == 302  # and the file may come again


def test_the_opening_count_leads_to_its_labels_and_says_when_its_file_was_taken_back(
    shop: Shop, marta: Client
) -> None:
    address = write(marta, "opening-stock", STOCK)["Location"]
    count = Count.objects.get()
    assert f'href="/labels/new/?count={count.pk}"' in marta.get(f"/counts/{count.pk}/").content.decode()
    labels = marta.get(f"/labels/new/?count={count.pk}").content.decode()
    assert "K-0001 K-0002 K-0003 K-0004 K-0005 K-0006" in labels

    send(marta, address, why="the wrong file")
    page = text(marta.get(f"/counts/{count.pk}/"))
    assert "the file that brought them was taken back" in page
    assert "Write each number on its can" not in page
    assert "Undone" in text(marta.get("/counts/"))
    assert "Undone as a mistake" in text(marta.get("/containers/K-0001/"))


def test_what_was_weighed_since_cannot_be_undone(shop: Shop, marta: Client) -> None:
    address = write(marta, "opening-stock", STOCK)["Location"]
    weigh(Container.objects.get(pk="K-0004"), TicketIn(shop.scale, reading("290")), at=NOON, by=shop.dev)
    before = rows_kept()
    answer = send(marta, address, why="the wrong file")

    assert errors(answer, "why") == ["It cannot be undone: it was used since (1 weigh tickets)."]
    assert rows_kept() == before


def test_people_come_with_their_cards_and_without_a_password(shop: Shop, marta: Client) -> None:
    write(marta, "people", PEOPLE)
    sam, ivy = Person.objects.get(username="sam"), Person.objects.get(username="ivy")

    assert sam.cards.get().number == "SAMPLE-9001"
    assert sam.cards.get().name_on_card == "Sam Ortega"
    assert not sam.has_usable_password()
    assert ivy.role == "front office"
    assert "No password yet" in text(marta.get(f"/people/{sam.pk}/"))


def test_undone_people_are_out_and_come_back_with_the_file(shop: Shop, marta: Client) -> None:
    address = write(marta, "people", PEOPLE)["Location"]
    send(marta, address, why="too early")
    assert not Person.objects.get(username="sam").is_active

    again = write(marta, "people", PEOPLE)["Location"]
    assert Person.objects.get(username="sam").is_active
    assert Card.objects.filter(number="SAMPLE-9001").count() == 1
    assert send(marta, again, why="still too early").status_code == 302
    assert not Person.objects.get(username="ivy").is_active


def test_somebody_who_has_signed_on_keeps_an_import_from_being_undone(
    shop: Shop, marta: Client, client: Client
) -> None:
    address = write(marta, "people", PEOPLE)["Location"]
    ivy = Person.objects.get(username="ivy")
    client.force_login(ivy, backend="django.contrib.auth.backends.ModelBackend")

    assert errors(send(marta, address, why="x"), "why") == ["It cannot be undone: Ivy Stone has signed on."]


def test_vehicles_are_found_by_their_plates_and_go_again(shop: Shop, marta: Client) -> None:
    address = write(marta, "vehicles", VEHICLES)["Location"]
    car = Vehicle.objects.get(plate="SMP-700")
    assert car.description == "2014 blue hatchback, unit 12, plate CO"
    assert "2014 blue hatchback" in text(marta.get("/find/?q=SMP-70", follow=True))

    send(marta, address, why="the wrong list")
    assert not Vehicle.objects.filter(plate="SMP-700").exists()
    assert "2014 blue hatchback" not in text(marta.get("/find/?q=SMP-70", follow=True))


def test_a_vehicle_with_a_job_keeps_an_import_from_being_undone(shop: Shop, marta: Client) -> None:
    address = write(marta, "vehicles", VEHICLES)["Location"]
    Bay.check_in(shop, plate="SMP-700", vin="")
    answer = send(marta, address, why="the wrong list")

    assert errors(answer, "why") == ["It cannot be undone: it was used since (1 jobs)."]
    assert Vehicle.objects.filter(plate="SMP-700").exists()


def test_with_one_cell_in_trouble_nothing_can_be_written(shop: Shop, marta: Client) -> None:
    before = rows_kept()
    page = look(marta, "opening-stock", STOCK.replace("295", "900"))

    assert troubles(page) == [(3, "gross")]
    assert "A full can of this kind weighs about 466 g." in text(page)
    assert "Write all" not in text(page)
    answer = send(marta, "/import/look/", sha256=ImportDraft.objects.get().sha256)
    assert errors(answer) == ["1 cells of the file are in trouble. Nothing is written until it has none."]
    assert rows_kept() == before


def test_the_same_file_is_not_written_twice(shop: Shop, marta: Client) -> None:
    write(marta, "opening-stock", STOCK)
    answer = write(marta, "opening-stock", STOCK)

    assert "This very file is in already" in errors(answer)[0]
    assert Count.objects.count() == 1


def test_a_file_of_the_evening_is_in_since_the_shops_own_day(shop: Shop) -> None:
    evening = NOON + timedelta(hours=8)  # two in the morning of Apr 3 in Greenwich
    bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n", at=evening)
    with pytest.raises(Refused, match="in already, since Apr 2 2024"):
        bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n", at=evening)


def test_a_file_that_was_exchanged_since_it_was_looked_at_is_not_written(shop: Shop, marta: Client) -> None:
    look(marta, "opening-stock", STOCK)
    seen = ImportDraft.objects.get().sha256
    look(marta, "opening-stock", STOCK.replace("295", "296"))

    assert errors(send(marta, "/import/look/", sha256=seen)) == [
        "Another file was sent since. This is it: look at it first."
    ]
    assert not Import.objects.exists()


def test_an_xlsx_is_read_with_its_own_dates_and_numbers(shop: Shop, marta: Client) -> None:
    from datetime import datetime

    head = PEOPLE.splitlines()[0].split(",")
    day = datetime(2020, 5, 4)
    content = xlsx(head, ["Sam Ortega", "sam", "technician", "Sample Program", 9001, day])
    write(marta, "people", content)

    card = Card.objects.get(number="9001")
    assert card.issued_on == day.date()


def test_a_formula_is_a_troubled_cell_and_is_never_computed(shop: Shop, marta: Client) -> None:
    head = STOCK.splitlines()[0].split(",")
    content = xlsx(head, ["R-134a", "12-oz can", "sealed", "=1+2", "", "", "", ""])
    page = look(marta, "opening-stock", content)

    assert troubles(page) == [(2, "cans")]
    assert "A formula or an error stands here." in text(page)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (STOCK.encode("utf-16"), "Save it as “CSV UTF-8”"),
        (STOCK.replace("12-oz can,open", "12-oz can\xe9,open").encode("latin-1"), "Row 3 has a letter"),
        (STOCK.splitlines()[0], "no row under its headings"),
        (STOCK + 'R-134a,"12-oz', "breaks off inside a quoted cell"),
        (b"\xd0\xcf\x11\xe0 old", "a spreadsheet of an old kind"),
        (b"PK\x03\x04 not a zip", "cannot be opened"),
        (xlsx(STOCK.splitlines()[0].split(","), ["R-134a"], more=True), "rows on more than one sheet"),
        (b"x," * (3 * 1024 * 1024), "larger than 5 MB"),
    ],
    ids=["utf-16", "latin-1", "empty", "quotes", "xls", "no zip", "two sheets", "large"],
)
def test_a_file_that_cannot_be_read_says_so_in_one_sentence(
    shop: Shop, marta: Client, content: str | bytes, sentence: str
) -> None:
    answer = look(marta, "opening-stock", content)

    assert sentence in " ".join(errors(answer, "file"))
    assert not ImportDraft.objects.exists()


def test_headings_are_taken_from_the_template_and_nothing_else(shop: Shop, marta: Client) -> None:
    page = look(marta, "vehicles", "plate,colour,plate,year\nSMP-1,blue,x,2014\n")

    assert troubles(page) == [(1, "colour"), (1, "plate"), (1, "vin"), (1, "make")]


@pytest.mark.parametrize("what", ["opening-stock", "people", "vehicles"])
@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_each_template_is_understood_as_it_is_handed_out(
    shop: Shop, marta: Client, what: str, ending: str
) -> None:
    answer: Any = marta.get(f"/import/template/{what}.{ending}")
    content = b"".join(answer.streaming_content)

    assert "no row under its headings" in " ".join(errors(look(marta, what, content), "file"))


def test_only_the_owner_brings_in(shop: Shop, lee: Client, dev: Client) -> None:
    for who in (lee, dev):
        assert who.get("/import/").status_code == 403
        assert who.get("/import/template/people.csv").status_code == 403


@pytest.mark.parametrize(
    ("what", "content", "cell"),
    [
        ("people", "\nDev Two,dev,technician,,,\n", (2, "sign_on_name")),  # taken
        (
            "people",
            "\nSam,sam,technician,sample certification program,sample-7741,2020-01-01\n",
            (2, "card_number"),
        ),
        ("people", "\nSam,sam,technician,P,1,2999-01-01\n", (2, "card_issued_on")),
        ("people", "\nSam,sam,technician,P,1,1989-01-01\n", (2, "card_issued_on")),
        ("people", "\nSam,sam,technician,,,\nSam Two,sam,technician,,,\n", (3, "sign_on_name")),
        (
            "people",
            "\nSam,sam,technician,P,1,2020-01-01\nIvy,ivy,technician,p,1,2020-01-01\n",
            (3, "card_number"),
        ),
        ("vehicles", "\nSMP-418;;;;van;;\n", (2, "plate")),  # on file
        ("vehicles", "\nSMP-1;;;;van;;\nsmp-1;;;;van;;\n", (3, "plate")),
        ("vehicles", "\n;;1M8GDM9AXKP042788;;van;;\n;;1m8gdm9axkp042788;;van;;\n", (3, "vin")),
    ],
)
def test_what_is_on_file_or_there_twice_is_in_trouble(
    shop: Shop, marta: Client, what: str, content: str, cell: tuple[int, str]
) -> None:
    Vehicle.objects.create(establishment=shop.establishment, plate="SMP-418", description="blue van")
    head = (PEOPLE if what == "people" else VEHICLES).splitlines()[0]

    assert troubles(look(marta, what, head + content)) == [cell]
