"""The bay's saturation chart on paper: one dateless sheet, the same bytes for the same facts, its numbers readable."""

from __future__ import annotations

import io
import re

import pytest
from django.utils import translation
from pypdf import PdfReader

from compliance.core.bay_chart import BayChart, bay_chart
from compliance.core.translated import spoken
from compliance.pdf.bay_chart import draw_bay_chart
from inventory.core.chart import DEGREES_C, DEGREES_F, chart
from shop.core.cautions import DEFER
from shop.core.conditions import conditions
from shop.core.house import HouseRules


def sheet(language: str = "en", feet: int = 5000) -> BayChart:
    here = conditions(HouseRules().at(feet))
    made = bay_chart(chart(here.air), shop="Copper Gulch Auto Repair", air=here.air_said)
    with translation.override(language):
        said: BayChart = spoken(made, translation.gettext)
    return said


def read(drawn: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(drawn))


def test_it_is_one_letter_sheet_with_everything_on_it() -> None:
    reader = read(draw_bay_chart(sheet()))
    words = " ".join(reader.pages[0].extract_text().split())

    assert len(reader.pages) == 1
    assert reader.pages[0].mediabox[2:] == [612, 792]
    assert "For 5,000 ft, standard air." in words
    assert "Tarebook properties 1" in words
    assert "Pressure alone cannot identify a refrigerant." in words
    assert "within 3.4 psi of each other from 0 to 120 °F" in words
    assert words.count("FLAMMABLE") >= 4
    assert DEFER in words


def test_its_rows_are_those_of_the_chart_at_that_height() -> None:
    lines = read(draw_bay_chart(sheet())).pages[0].extract_text().splitlines()
    words = " ".join(lines)

    # 70 °F at 5,000 ft: R-134a 71.1 psi at sea level + 2.47 (CoolProp 8.0.0; standard air)
    assert "70 76.4 73.6 64.7" in words
    assert "−20 67 48 36" in words
    assert len(sheet().halves[0].rows) == len(DEGREES_F)
    assert len(sheet().halves[1].rows) == len(DEGREES_C)


def test_it_has_no_date_and_the_same_facts_make_the_same_bytes() -> None:
    drawn = draw_bay_chart(sheet())

    assert drawn == draw_bay_chart(sheet())
    assert drawn != draw_bay_chart(sheet(feet=5280))
    assert not re.search(r"\b20\d\d\b", " ".join(read(drawn).pages[0].extract_text().split()))


def test_its_numbers_are_set_large_enough_to_be_read_from_a_metre() -> None:
    content = read(draw_bay_chart(sheet())).pages[0].get_contents()
    assert content is not None
    sizes = [float(size) for size in re.findall(rb"/F\d+\+\d+ ([\d.]+) Tf", content.get_data())]

    assert sizes.count(16.0) == 4 * (len(DEGREES_F) + len(DEGREES_C))  # 16 pt: digits of 4 mm
    assert min(sizes) >= 9


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("feet", [-1400, 0, 14000])
def test_everything_stands_inside_the_edges_and_above_the_last_line(language: str, feet: int) -> None:
    content = read(draw_bay_chart(sheet(language, feet), language)).pages[0].get_contents()
    assert content is not None
    places = re.findall(rb"BT ([\d.]+) -([\d.]+) Td", content.get_data())
    downs = sorted(float(down) for _, down in places)

    assert all(34 <= float(across) <= 576 for across, _ in places)
    assert downs[-1] == 766  # the line about the equations
    assert downs[-2] <= 754


def test_a_copy_in_spanish_says_its_language() -> None:
    assert str(read(draw_bay_chart(sheet("es"), "es")).root_object["/Lang"]) == "es"
