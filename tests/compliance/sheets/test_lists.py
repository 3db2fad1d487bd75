"""Every list as CSV and XLSX: whole, exact, harmless, and for the people of the list alone."""

from __future__ import annotations

import io
from decimal import Decimal

import pytest
from django.test import Client
from openpyxl import load_workbook

from compliance.sheets import SHEETS
from inventory.models import CountLine, Movement
from inventory.queries import containers
from shop.core.mass import ZERO, Mass, total
from shop.core.roles import Role
from tests.compliance.sheets.reading import body, sheet
from tests.conftest import SignOn
from tests.factories import Shop, make_establishment, make_owner
from tests.pages import text

NAMES = [one.name for one in SHEETS]
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def mass(grams: str) -> Mass:
    return Mass(int(Decimal(grams) * 1_000_000))


@pytest.mark.parametrize("name", NAMES)
def test_every_list_leaves_as_csv_and_as_xlsx_with_the_same_rows(
    full: Shop, marta: Client, name: str
) -> None:
    listed = sheet(marta, f"/sheets/{name}.csv")
    answer = marta.get(f"/sheets/{name}.xlsx")
    book = load_workbook(io.BytesIO(body(answer)), read_only=True)
    page = list(book[book.sheetnames[0]].iter_rows(values_only=True))

    assert answer.headers["Content-Type"] == XLSX
    assert listed
    assert list(page[0]) == list(listed[0])
    assert len(page) == len(listed) + 1
    assert f'filename="{name}-' in answer.headers["Content-Disposition"]


def test_the_columns_are_explained_on_the_page(full: Shop, marta: Client) -> None:
    page = text(marta.get("/sheets/"))

    for one in SHEETS:
        for column in one.make(full.establishment).columns:
            assert f"{column.name} {column.about}" in page


def test_the_sums_of_the_containers_are_the_books(full: Shop, lee: Client) -> None:
    """By refrigerant: what the sheet of containers holds, what the book's movements leave in them, and the query's."""
    listed, moved = sheet(lee, "/sheets/containers.csv"), sheet(lee, "/sheets/book.csv")
    inside = ("can", "cylinder")
    for refrigerant in ("R-134a", "R-1234yf"):
        by_container = total(mass(row["book_g"]) for row in listed if row["refrigerant"] == refrigerant)
        mine = [row for row in moved if row["refrigerant"] == refrigerant]
        into = total(mass(row["mass_g"]) for row in mine if row["target_kind"] in inside)
        out = total(mass(row["mass_g"]) for row in mine if row["source_kind"] in inside)
        stands = containers(full.establishment).filter(refrigerant=refrigerant)
        assert by_container == into - out == total(one.book for one in stands)
        assert by_container > ZERO


def test_each_container_holds_what_its_movements_leave(full: Shop, lee: Client) -> None:
    held: dict[str, Mass] = {}
    for row in sheet(lee, "/sheets/book.csv"):
        held[row["target"]] = held.get(row["target"], ZERO) + mass(row["mass_g"])
        held[row["source"]] = held.get(row["source"], ZERO) - mass(row["mass_g"])

    for row in sheet(lee, "/sheets/containers.csv"):
        assert mass(row["book_g"]) == held.get(row["code"], ZERO), row["code"]


def test_xlsx_holds_the_same_grams_to_the_microgram(full: Shop, lee: Client) -> None:
    book = load_workbook(io.BytesIO(body(lee.get("/sheets/book.xlsx"))))
    first, *rows = book["book"].iter_rows(values_only=True)
    at = first.index("mass_g")

    assert [Mass(round(Decimal(str(row[at])) * 1_000_000)) for row in rows] == list(
        Movement.objects.order_by("pk").values_list("mass", flat=True)
    )


def test_a_jobs_masses_are_the_certificates(full: Shop, dev: Client) -> None:
    """The sample job: 210 g out, 338 + 171 = 509 g out of the cans, 6 of them in the hoses, 503 in the car."""
    first, last = sheet(dev, "/sheets/jobs.csv")

    assert (first["recovered_g"], first["charged_g"], first["hoses_g"]) == ("210", "503", "6")
    assert (first["label_typed"], first["label_unit"], first["label_g"]) == ("500", "g", "500")
    assert (first["state"], first["certificate"], first["worked_on"]) == (
        "charged",
        "C24-0001 version 2",
        "2024-03-04",
    )
    assert first["odometer"] == "118402"  # as the correction slip put it right
    assert (last["state"], last["charged_g"], last["certificate"]) == ("open", "", "")


def test_what_was_typed_stands_beside_its_unit_and_its_grams(full: Shop, lee: Client) -> None:
    ticket = sheet(lee, "/sheets/weigh-tickets.csv")[0]
    assert (ticket["gross_typed"], ticket["gross_unit"], ticket["gross_g"]) == ("7756", "g", "7756")

    differences = [mass(row["difference_g"]) for row in sheet(lee, "/sheets/counts.csv")]
    assert differences == [one.difference for one in CountLine.objects.order_by("pk")]


def test_a_customers_name_is_no_formula(full: Shop, lee: Client) -> None:
    name, plate = '=HYPERLINK("http://x")', "=SMP-9"
    row = sheet(lee, "/sheets/jobs.csv")[-1]
    assert (row["customer"], row["plate"]) == (f"'{name}", f"'{plate}")

    page = load_workbook(io.BytesIO(body(lee.get("/sheets/jobs.xlsx"))))["jobs"]
    cells = {page.cell(1, at).value: page.cell(page.max_row, at) for at in range(1, page.max_column + 1)}
    assert (cells["customer"].value, cells["customer"].data_type) == (name, "s")
    assert (cells["plate"].value, cells["plate"].data_type) == (plate, "s")


def test_deliveries_name_their_cans_and_no_price(full: Shop, dev: Client) -> None:
    lines = sheet(dev, "/sheets/deliveries.csv")

    assert [
        (row["number"], row["refrigerant"], row["sound"], row["to_come"], row["undone"]) for row in lines
    ] == [
        ("D24-0001", "R-134a", "12", "0", "no"),
        ("D24-0002", "R-134a", "2", "0", "no"),
        ("D24-0002", "R-1234yf", "2", "1", "no"),
        ("D24-0003", "R-134a", "12", "0", "yes"),
    ]
    assert not [name for name in lines[0] if "dollar" in name or "price" in name]


@pytest.mark.parametrize("one", SHEETS, ids=NAMES)
def test_a_sheet_is_for_the_people_of_its_list(full: Shop, sign_on: SignOn, one: object) -> None:
    name, roles = one.name, one.roles  # type: ignore[attr-defined]
    for person in (full.marta, full.lee, full.dev):
        who = sign_on(person)
        status = who.get(f"/sheets/{name}.csv").status_code
        assert status == (200 if Role(person.role) in roles else 403), person
        assert (f"/sheets/{name}.csv" in who.get("/sheets/").content.decode()) is (status == 200)


@pytest.mark.parametrize("name", NAMES)
def test_another_shop_gets_none_of_our_rows(full: Shop, sign_on: SignOn, name: str) -> None:
    otis = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")

    rows = sheet(sign_on(otis), f"/sheets/{name}.csv")

    if name == "rules":  # the federal baseline is every shop's
        assert {row["pack"] for row in rows} == {"us-2026-11"}
    else:
        assert rows == [] or (name == "people" and [row["name"] for row in rows] == ["Otis Vale"])


@pytest.mark.parametrize(
    "address", ["/sheets/nothing.csv", "/sheets/book.ods", "/sheets/recall.exe", "/value.ods"]
)
def test_an_address_that_is_no_sheet_is_not_found(full: Shop, lee: Client, address: str) -> None:
    assert lee.get(address).status_code == 404


def test_every_list_page_offers_its_sheet(full: Shop, marta: Client) -> None:
    for page, name in (
        ("/deliveries/", "deliveries"),
        ("/deliveries/", "invoices"),
        ("/cabinet/", "containers"),
        ("/cabinet/", "weigh-tickets"),
        ("/book/", "book"),
        ("/counts/", "counts"),
        ("/bay/", "jobs"),
        ("/papers/", "papers"),
        ("/reports/", "papers"),
        ("/people/", "people"),
        ("/equipment/", "equipment"),
        ("/equipment/", "checks"),
        ("/suppliers/new/", "suppliers"),
    ):
        shown = marta.get(page).content.decode()
        assert f'"/sheets/{name}.csv"' in shown, page
        assert f'"/sheets/{name}.xlsx"' in shown, page


def test_an_empty_shop_has_empty_sheets(sign_on: SignOn, db: None) -> None:
    otis = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))

    book = load_workbook(io.BytesIO(body(otis.get("/sheets/jobs.xlsx"))))

    assert book["jobs"].max_row == 1
