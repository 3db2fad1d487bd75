"""Control charts from the shop's own weighings, and the look that starts one anew."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from compliance.models import ChartLook
from compliance.queries.control_charts import all_charts, charts
from compliance.services import record_look
from inventory.services import LineIn
from shop.core.findings import Refused
from shop.services import CheckIn, log_check
from tests.compliance.sheets.reading import sheet
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop, cans_of, reading, receive
from tests.pages import send, text

LOOK = "/records/charts/look/?kind=scale&what=can&key=SC-1"


def jobs(shop: Shop, *empties: str, lot: str = "L24B-07") -> None:
    """So many cars, each charged with one can from sealed to empty and some of a second one that leaks 2 g a week."""
    how_many = len(empties)
    cans = cans_of(receive(shop, LineIn(shop.can12, how_many + 1, how_many + 1, lots=((lot, how_many + 1),))))
    for place in range(how_many):
        bay = Bay.check_in(
            shop, plate=f"SMP-{place:03d}", at=NOON + timedelta(days=7 * place), by=shop.dev, label="355"
        )
        bay.recover(f"{7756 + 40 * place}", f"{7796 + 40 * place}")
        bay.leak_check()
        bay.evacuate()
        bay.draw(cans[place], "466", empties[place], emptied=True)
        before = 464 - 22 * place
        bay.weigh(cans[how_many], f"{before}", Moment.BEFORE, seen=("can-lost-on-shelf", "digits-swapped"))
        bay.weigh(cans[how_many], f"{before - 20}")
        bay.keep_charge(hoses="0")
        bay.finals()
        bay.close()


@pytest.fixture
def drifted(shop: Shop) -> Shop:
    """Ten cans that keep 2 g, as cans do, four that keep 7 g, and one that loses 2 g between jobs."""
    jobs(shop, *["128"] * 10, *["133"] * 4)
    return shop


def of(shop: Shop, kind: str, what: str) -> list[str]:
    return [
        str(one.sentence)
        for one in all_charts(shop.establishment)
        if (one.stream.kind, one.stream.what) == (kind, what)
    ]


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


def test_cans_as_they_should_be_show_nothing(shop: Shop) -> None:
    jobs(shop, *["128"] * 5)
    assert of(shop, "scale", "can") == ["Nothing to see in 5 weighings on SC-1."]
    assert of(shop, "scale", "check") == ["Too early to say: one value so far of SC-1."]


def test_checks_that_lean_one_way_show_before_one_fails(shop: Shop) -> None:
    for week in range(4):
        day = NOON.date() + timedelta(days=week)
        check = CheckIn(day, "500 g weight", known=reading("500"), shown=reading("501"))
        assert log_check(shop.scale, check, today=day, at=NOON + timedelta(days=week), by=shop.dev).passed
    assert of(shop, "scale", "check") == [
        "Checks of SC-1 with the known weight lean one way since Apr 2: about +1.0 g."
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


def test_there_is_nothing_to_look_into_on_a_quiet_chart(shop: Shop, marta: Client) -> None:
    jobs(shop, *["128"] * 5)
    quiet = next(one for one in all_charts(shop.establishment) if one.alarm is None)
    with pytest.raises(Refused, match="no alarm on this chart"):
        record_look(quiet, shop.establishment, found="nothing", at=NOON, by=shop.marta)
    assert marta.get(LOOK).status_code == 404


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


def test_the_charts_ask_the_database_a_fixed_number_of_times(shop: Shop, marta: Client) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            marta.get("/records/charts/")
        return len(seen)

    jobs(shop, *["128"] * 3)
    few = asked()
    cans = cans_of(receive(shop, LineIn(shop.can12, 2, 2), slip="88600"))
    bay = Bay.check_in(shop, plate="SMP-777", at=NOON + timedelta(days=40))
    bay.recover("7876", "7900")
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    assert asked() == few


def test_the_values_leave_as_a_sheet_for_the_owner(drifted: Shop, marta: Client, dev: Client) -> None:
    rows = sheet(marta, "/sheets/chart-values.csv")
    mine = [row for row in rows if (row["kind"], row["closure"]) == ("scale", "can")]
    assert [row["residual_g"] for row in mine] == ["0.000000"] * 10 + ["-5.000000"] * 4
    assert [row["alarm"] for row in mine][10:] == ["no", "no", "yes", "yes"]
    assert dev.get("/sheets/chart-values.csv").status_code == 403
