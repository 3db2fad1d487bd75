"""Weeks of work on one scale, for the tests of control charts."""

from __future__ import annotations

from datetime import timedelta

from compliance.queries.control_charts import all_charts
from inventory.services import LineIn
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop, cans_of, receive

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


def of(shop: Shop, kind: str, what: str) -> list[str]:
    return [
        str(one.sentence)
        for one in all_charts(shop.establishment)
        if (one.stream.kind, one.stream.what) == (kind, what)
    ]
