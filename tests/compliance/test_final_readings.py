"""Final readings on their stage's page, by a maker's table and without one, and on paper."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, connection, transaction
from django.test import Client

from compliance import services
from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.makers_table import Against, RowTyped
from compliance.core.stages import StageKind
from compliance.models import Document, FinalReadings, MakerRow, MakerTable, MakerTableTakenBack
from compliance.queries import job_sheet
from compliance.queries.final_view import final_answer_of
from compliance.queries.makers_tables import makers_tables, table_typed, tables_held
from inventory.models import Container
from shop.core.answer import Answer
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from tests.compliance.papers.reading import text
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import Shop

pytestmark = pytest.mark.one_engine

RUNS = {
    "vent": "44 °F",
    "inlet": "78 °F",
    "outdoor": "84 °F",
    "humidity": "38 % RH",
    "low_side": "31 psi",
    "high_side": "165 psi",
    "mode": "recirculate",
    "blower": "high",
    "engine": "1500 rpm",
}
TYPED = {
    "vent": "44",
    "vent_unit": "°F",
    "inlet": "78",
    "inlet_unit": "°F",
    "outdoor": "84",
    "outdoor_unit": "°F",
}
TABLE = {
    "against": "air going in",
    "source": "service information, page 12",
    "run_as": "1,500 rpm",
    "temperature_unit": "°F",
    "pressure_unit": "psi",
    "rows": "4",
    "temperature_0": "70",
    "vent_0": "38-44",
    "temperature_1": "90",
    "vent_1": "48-56",
}


@pytest.fixture
def dev(shop: Shop, sign_on: SignOn) -> Client:
    return sign_on(shop.dev)


def address(bay: Bay, *path: str) -> str:
    return "/".join(["/bay", bay.job.number, *path, ""])


def page(client: Client, where: str) -> str:
    return client.get(where).content.decode()


def answer(bay: Bay) -> Answer:
    one = final_answer_of(job_sheet(bay.job), None)
    assert one is not None
    return one


def test_everything_that_matters_is_asked_at_first_sight(bay: Bay, dev: Client) -> None:
    first, _, folded = page(dev, address(bay, "final-readings")).partition('class="more"')
    for name in ("vent", "inlet", "outdoor", "humidity", "mode", "blower", "engine", "minutes"):
        assert f'name="{name}"' in first
    assert 'name="note"' in folded


def test_what_is_kept_for_later_is_worked_out_before_it_is_signed(bay: Bay, dev: Client) -> None:
    dev.post(
        address(bay, "final-readings"), TYPED | {"high_side": "195", "high_side_unit": "psi", "later": "1"}
    )
    said = page(dev, address(bay, "final-readings"))
    assert "Pressures and vent temperature do not tell a charge." in said
    assert "Condensing above outdoor air by" in said
    assert "The weighed mass is the evidence of charge; pressures are not." in said
    assert not FinalReadings.objects.exists()


def test_a_number_typed_with_its_own_unit_stands_in_a_draft(bay: Bay, dev: Client) -> None:
    dev.post(address(bay, "final-readings"), {"vent": "7 °C", "vent_unit": "°F", "later": "1"})
    draft = bay.job.drafts.get()
    assert final_answer_of(job_sheet(bay.job), draft) is not None


def test_what_is_signed_is_kept_whole(bay: Bay, dev: Client) -> None:
    sent = TYPED | {"mode": "fresh air", "blower": "low", "minutes": "8", "engine": "1500", "caps_on": "on"}
    assert dev.post(address(bay, "final-readings"), sent).status_code == 302
    kept = FinalReadings.objects.get()
    assert (kept.inlet, kept.minutes, kept.mode, kept.blower) == ("78 °F", 8, "fresh air", "low")


def test_readings_that_cannot_be_are_said_and_never_stop_the_stage(bay: Bay, dev: Client) -> None:
    sent = TYPED | {"vent": "88", "humidity": "138", "humidity_unit": "% RH"}
    said = dev.post(address(bay, "final-readings"), sent, follow=True).content.decode()
    assert "Vent air is warmer than the air going in: it is not cooling." in said
    assert "Humidity is 0 to 100 %" in said
    assert FinalReadings.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed"), [("vent", "cold"), ("high_side", "195 °F"), ("humidity", "damp")]
)
def test_what_no_instrument_shows_is_refused_beside_its_field(
    bay: Bay, dev: Client, field: str, typed: str
) -> None:
    said = dev.post(address(bay, "final-readings"), TYPED | {field: typed}).content.decode()
    assert f"“{typed}” is no" in said
    assert f'id="id_{field}_error"' in said
    assert not FinalReadings.objects.exists()


def test_a_cars_earlier_readings_stand_beside_its_own(bay: Bay, cans: list[Container], shop: Shop) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals(**RUNS)
    bay.close()
    other = Bay.check_in(shop, plate="SMP-300", at=bay.clock)
    other.finals(vent="60 °F")
    again = Bay.check_in(shop, at=bay.clock)
    again.finals(vent="48 °F")
    told = dict(answer(again).numbers)
    assert told["J24-0001, Apr 2"] == (
        "vent 44 °F, outdoors 84 °F, going in 78 °F, low 31 psi, high 165 psi, 38 % RH, recirculate"
    )
    assert len([label for label in told if label.startswith("J24")]) == 1


def test_celsius_is_answered_in_celsius(bay: Bay) -> None:
    bay.finals(outdoor="29 °C", high_side="195 psi")
    assert dict(answer(bay).numbers)["Condensing at"].startswith("53.7 °C")


# --- The maker's table


def test_with_a_table_readings_lie_inside_or_outside_of_it(bay: Bay) -> None:
    # 78 °F lies 0.4 of the way from 70 to 90: vent 42.0 to 48.8 °F, high side 154 to 202 psi
    bay.type_makers_table()
    bay.finals(**RUNS)
    inside = answer(bay)
    assert inside.headline == "The readings lie inside the maker's band."
    assert inside.state == ("done", "Worked out")
    assert "Vent 44 °F: inside the maker's band, 42 °F to 49 °F." in inside.says
    assert "Table: service information, page 12." in inside.says
    bay.finals(**RUNS | {"vent": "58 °F"})
    outside = answer(bay)
    assert outside.headline == "Not all readings lie inside the maker's band."
    assert "Vent 58 °F: outside the maker's band, 42 °F to 49 °F." in outside.says


def test_beyond_the_table_there_is_no_verdict(bay: Bay) -> None:
    bay.type_makers_table()
    bay.finals(**RUNS | {"inlet": "95 °F"})
    assert answer(bay).state == ("unneeded", "No verdict")
    assert "Vent: no verdict, outside what the table is printed for." in answer(bay).says


def test_a_table_by_outdoor_air_goes_by_the_outdoor_air(bay: Bay) -> None:
    bay.type_makers_table(Against.OUTDOOR)
    bay.finals(**RUNS | {"inlet": ""})
    assert any("45 °F to 52 °F" in one for one in answer(bay).says)  # 84 °F: 0.7 of the way, 45.0 to 52.4


def test_a_table_is_typed_row_by_row_and_told_at_the_next_reading(bay: Bay, dev: Client) -> None:
    for where in (address(bay), address(bay, "final-readings")):
        assert f'href="{address(bay, "makers-table")}"' in page(dev, where)
    assert dev.post(address(bay, "makers-table"), TABLE).status_code == 302
    (table,) = makers_tables(bay.job.vehicle)
    assert [row.temperature for row in table.typed.rows] == ["70", "90"]
    assert "service information, page 12" in page(dev, address(bay, "makers-table"))


def test_more_rows_keep_what_was_typed(bay: Bay, dev: Client) -> None:
    said = dev.post(address(bay, "makers-table"), TABLE | {"more": "1"}).content.decode()
    assert 'name="temperature_7"' in said
    assert 'value="48-56"' in said
    assert not MakerTable.objects.exists()


def test_a_band_that_cannot_be_read_is_said_beside_it(bay: Bay, dev: Client) -> None:
    said = dev.post(address(bay, "makers-table"), TABLE | {"vent_1": "cool"}).content.decode()
    assert "“cool” is no band" in said
    assert 'id="id_vent_1_error"' in said
    assert not MakerTable.objects.exists()


def test_a_table_typed_again_takes_the_place_of_the_first(bay: Bay, dev: Client) -> None:
    first = bay.type_makers_table()
    said = page(dev, f"{address(bay, 'makers-table')}?again={first.pk}")
    assert 'value="38-44"' in said
    dev.post(address(bay, "makers-table"), TABLE | {"vent_0": "37-43"})
    (held,) = tables_held(bay.job.vehicle)
    assert table_typed(held).rows[0] == RowTyped("70", vent="37-43")
    assert MakerTable.objects.count() == 2


def test_tables_by_both_airs_hold_side_by_side(bay: Bay) -> None:
    bay.type_makers_table()
    bay.type_makers_table(Against.OUTDOOR)
    assert len(makers_tables(bay.job.vehicle)) == 2


def test_a_table_taken_back_holds_no_more(bay: Bay, dev: Client) -> None:
    table = bay.type_makers_table()
    where = address(bay, "makers-table", str(table.pk), "take-back")
    assert dev.post(where, {"why": "x"}).status_code == 200
    assert dev.post(where, {"why": "typed on the wrong car"}).status_code == 302
    assert makers_tables(bay.job.vehicle) == []
    assert dev.get(where).status_code == 404
    with pytest.raises(Refused, match="taken back already"):
        services.take_back_makers_table(table, why="again", at=bay.later(), by=bay.by)


def test_a_table_of_another_car_is_not_found(bay: Bay, shop: Shop, dev: Client) -> None:
    table = Bay.check_in(shop, plate="SMP-300").type_makers_table()
    assert dev.get(address(bay, "makers-table", str(table.pk), "take-back")).status_code == 404


@pytest.mark.parametrize("model", [MakerTable, MakerRow, MakerTableTakenBack])
def test_a_table_is_final(bay: Bay, model: type[MakerTable | MakerRow | MakerTableTakenBack]) -> None:
    table = bay.type_makers_table()
    services.take_back_makers_table(table, why="wrong car", at=bay.later(), by=bay.by)
    name, key = model._meta.db_table, model._meta.pk.column
    for sql in (f"UPDATE {name} SET {key} = {key}", f"DELETE FROM {name}"):
        with pytest.raises(DatabaseError, match="is final"), transaction.atomic():
            connection.cursor().execute(sql)
    assert model._default_manager.exists()


# --- On paper


def closed(bay: Bay, cans: list[Container], **read: str) -> Document:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals(**read)
    return bay.close().certificates.get().document


def printed(paper: Document) -> str:
    return text(certificate(rebuild(CertificateFacts, paper.facts)))


def test_the_certificate_prints_readings_and_what_they_mean(bay: Bay, cans: list[Container]) -> None:
    said = printed(closed(bay, cans, **RUNS))
    assert (
        "Condensing at 118 °F, 34 °F above outdoors, evaporating at 36 °F. By Tarebook properties 1." in said
    )
    assert "engine 1500 rpm, blower high, mode recirculate" in said
    assert "The weighed mass is the evidence of charge; pressures are not." in said
    assert "Maker's table" not in said


def test_the_certificate_prints_a_table_with_its_source(bay: Bay, cans: list[Container]) -> None:
    bay.type_makers_table()
    said = printed(closed(bay, cans, **RUNS))
    assert "Vent 44 °F, inside 42 °F to 49 °F" in said
    assert "Typed from: service information, page 12." in said


def test_a_table_typed_afterwards_changes_no_paper(bay: Bay, cans: list[Container]) -> None:
    paper = closed(bay, cans, **RUNS)
    before = printed(paper)
    bay.type_makers_table()
    assert printed(Document.objects.get(pk=paper.pk)) == before


def test_facts_of_before_are_still_rebuilt(bay: Bay, cans: list[Container]) -> None:
    """A certificate signed before this was asked has none of the new words."""
    import json

    facts = json.loads(closed(bay, cans, **RUNS).facts)
    del facts["since_last"]
    for name in ("inlet", "minutes", "worked"):
        del facts["final"][name]
    old = rebuild(CertificateFacts, json.dumps(facts))
    assert old.final is not None
    assert (old.final.worked, old.since_last) == (None, None)
    assert "Worked out" not in text(certificate(old))


def test_the_approach_sum_answers_an_address(dev: Client) -> None:
    said = page(
        dev, "/sums/approach/?refrigerant=R-134a&high_side=195&high_side_unit=psi&outdoor=84&outdoor_unit=°F"
    )
    assert "Condensing above outdoor air by" in said
    assert "No verdict" in said
    refused = page(dev, "/sums/approach/?refrigerant=R-134a&high_side=hot")
    assert "is no pressure of a manifold gauge" in refused
    assert "Type at least one pressure" in page(dev, "/sums/approach/?refrigerant=R-134a")
    weather = page(dev, "/sums/approach/?refrigerant=R-134a&high_side=195&barometer=3+kPa")
    assert "is no air pressure where cars are repaired" in weather


def test_a_stage_left_out_says_nothing(bay: Bay) -> None:
    bay.leave_out(StageKind.FINAL_READINGS, "engine does not run")
    assert final_answer_of(job_sheet(bay.job), None) is None
