"""Control charts from the shop's own weighings, and the look that starts one anew."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.models import ChartLook
from compliance.queries.control_charts import charts
from tests.compliance.chart_work import LOOK, jobs, of
from tests.compliance.sheets.reading import sheet
from tests.conftest import Keep
from tests.factories import Shop
from tests.pages import send, text

pytestmark = pytest.mark.one_engine


@pytest.fixture(scope="module")
def drifted_of_all(keep: Keep, shop_of_all: Shop) -> None:
    """Ten cans that keep 2 g, as cans do, four that keep 7 g, and one that loses 2 g between jobs."""
    keep(lambda: jobs(shop_of_all, *["128"] * 10, *["133"] * 4))


@pytest.fixture
def drifted(drifted_of_all: None, shop: Shop) -> Shop:
    return shop


def test_cans_that_give_too_little_show_on_scale_lot_and_technician(drifted: Shop) -> None:
    # Hand-worked: 466 - 133 - 340 = -7 g, 5 less than usual, of 340 g: 1.5 percent; score 5/2.04 = 2.45, less k 1.95:
    # over 5 at the third of them. They began in the eleventh week, on Jun 11
    assert of(drifted, "scale", "can") == [
        "SC-1 has drifted down since Jun 11: about −1.5 percent. Check it with the known weight."
    ]
    assert of(drifted, "lot", "can")[0].startswith(
        "Cans of lot L24B-07 give about 5.0 g less than cans usually do"
    )
    assert of(drifted, "technician", "can")[0].startswith(
        "Weights taken by Dev Larkin come out −5.0 g since Jun 11."
    )


def test_a_can_that_loses_on_the_shelf_shows_in_its_lot(drifted: Shop) -> None:
    # Hand-worked: 444 after, 442 before a week later: -2 g each time
    assert of(drifted, "lot", "shelf") == [
        "Cans of lot L24B-07 lose about 2.0 g on the shelf since Apr 9. Look at their valves."
    ]


def test_the_owner_looks_and_the_chart_starts_anew(drifted: Shop, marta: Client) -> None:
    assert "SC-1 has drifted down since Jun 11" in text(marta.get("/"))
    page = marta.get("/records/charts/").content.decode()
    assert "SC-1 has drifted down" in page
    assert 'role="img"' in page
    send(marta, LOOK, found="the pan touched the wall; 500 g shows 500 now")
    assert ChartLook.objects.get().by == drifted.marta
    assert "SC-1 has drifted down" not in text(marta.get("/"))
    assert of(drifted, "scale", "can") == []
    assert "the pan touched the wall" in text(marta.get("/records/charts/"))
    assert marta.get(LOOK).status_code == 404


def test_a_look_says_what_was_found(drifted: Shop, marta: Client) -> None:
    assert "Say in a few words what you found." in text(send(marta, LOOK, found="ok"))
    assert not ChartLook.objects.exists()


def test_a_technician_reads_their_own_chart_and_nobody_elses(
    drifted: Shop, rosa: Client, lee: Client
) -> None:
    hers = {
        one.stream.key
        for one in charts(drifted.establishment, drifted.rosa)
        if one.stream.kind == "technician"
    }
    his = {
        one.stream.key
        for one in charts(drifted.establishment, drifted.dev)
        if one.stream.kind == "technician"
    }
    assert (hers, his) == (set(), {"dev"})
    page = text(rosa.get("/records/charts/"))
    assert "Dev Larkin" not in page
    assert "Say what was found" not in page
    assert lee.get("/records/charts/").status_code == 403
    assert "SC-1 has drifted" not in text(rosa.get("/"))


def test_the_values_leave_as_a_sheet_for_the_owner(drifted: Shop, marta: Client, dev: Client) -> None:
    rows = sheet(marta, "/sheets/chart-values.csv")
    mine = [row for row in rows if (row["kind"], row["closure"]) == ("scale", "can")]
    assert [row["residual_g"] for row in mine] == ["0.000000"] * 10 + ["-5.000000"] * 4
    assert [row["alarm"] for row in mine][10:] == ["no", "no", "yes", "yes"]
    assert dev.get("/sheets/chart-values.csv").status_code == 403
