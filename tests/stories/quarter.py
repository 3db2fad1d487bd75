"""A whole quarter of Copper Gulch Auto Repair, lived through the pages: April to June 2026.

Every weight is in ``fixtures/quarter_jobs.csv`` or stands here; what they come to is worked out by hand in
``fixtures/quarter_sheet.csv``.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.test import Client
from django.utils import timezone

from inventory.models import Container, Count, Delivery, ReturnSlip, Shipment
from shop.models import Person
from tests.factories import Shop
from tests.stories.desk import Desk, Value, forms_on

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
ZONE = ZoneInfo("America/Denver")
MACHINES = {"R-134a": "RE-1", "R-1234yf": "RE-2"}
GASES = ("R-134a", "R-1234yf")


def rows_of(name: str) -> list[dict[str, str]]:
    with (FIXTURES / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@dataclass
class Quarter:
    """The shop, everybody's screen, and the clock."""

    shop: Shop
    desks: dict[str, Desk]
    cylinders: dict[str, str]
    report: str = ""
    hunted: str = ""

    @classmethod
    def begin(cls, shop: Shop, sign_on: Callable[[Person], Client]) -> Quarter:
        people = {"marta": shop.marta, "lee": shop.lee, "dev": shop.dev, "rosa": shop.rosa}
        desks = {name: Desk(sign_on(person)) for name, person in people.items()}
        return cls(shop, desks, {"R-134a": "RC-02", "R-1234yf": "RC-05"})

    def clock(self, day: str, time: str) -> None:
        """Set the shop's clock; it goes on running from there."""
        moment = datetime.fromisoformat(f"{day}T{time}").replace(tzinfo=ZONE)
        settings.PRACTICE_OFFSET = moment - timezone.now()

    def live(self) -> None:
        """Everything that happened, in order."""
        days: dict[str, Callable[[], None]] = {when: getattr(self, what) for when, what in OFFICE.items()}
        for row in rows_of("quarter_jobs.csv"):
            days[f"{row['day']} {row['time']}"] = partial(self.job, row)
        for when, happens in sorted(days.items()):
            self.clock(*when.split(" "))
            happens()

    # --- The office

    def take_up_the_book(self) -> None:
        """Twenty sealed cans stand in the cabinet already."""
        first = {"type_0": str(self.shop.can12.pk), "cans_0": "14", "lot_0": "L23D-02"}
        page = self.desks["marta"].press("/counts/opening/", "more", **first)[0]
        second = {"type_1": str(self.shop.can8.pk), "cans_1": "6", "lot_1": "C25K"}
        self.sent("marta", "/counts/opening/", page, "save", **second)

    def name_the_van(self) -> None:
        self.desks["lee"].do("/moves/spot/", name="Van 2", kind="van")

    def first_truck(self) -> None:
        """Three cases; one can is crushed and hisses, and goes back with the driver."""
        line = {"type_0": str(self.shop.can12.pk), "cases_0": "3", "damaged_0": "1", "lots_0": "L24B-07"}
        number = self.receive("88412", "lee", **line)
        (crushed,) = self.damaged(number)
        lost = {"what": "crushed seam, hissing", "where": "outside, upright", "reading": "402"}
        lee = self.desks["lee"]
        lee.do(f"/deliveries/{number}/damaged/{crushed}/", scale=str(self.shop.scale.pk), **lost)
        lee.do(
            f"/deliveries/{number}/back/",
            cans=[crushed],
            handed_to="the driver",
            reason="crushed seam",
            to="supplier",
        )

    def crushed_in_its_case(self) -> None:
        """A week later an unopened case is opened, and one can in it is crushed. It cannot stay."""
        said = {"what": "crushed flat", "where": "outside, upright"}
        self.desks["dev"].client.get("/")  # the technicians look at Today in the meantime
        self.desks["lee"].do(f"/deliveries/{self.delivery('88412')}/damaged/K-0030/", **said)

    def two_too_many(self) -> None:
        """Two sound cans were not ordered and go back; the credit for all comes three weeks later."""
        self.desks["lee"].do(
            f"/deliveries/{self.delivery('88412')}/back/",
            cans=["K-0054", "K-0055"],
            handed_to="the driver",
            reason="not ordered",
            to="supplier",
        )

    def credit(self) -> None:
        slip = ReturnSlip.objects.filter(cans__container_id="K-0054").get()
        self.desks["marta"].do(f"/returns/{slip.number}/credit/", number="CR-118", amount="33.80")

    def other_gas(self) -> None:
        line = {"type_0": str(self.shop.can8.pk), "cases_0": "1", "lots_0": "C26A"}
        bill = {"number": "551340", "dated": "2026-04-20", "total": "718.80"}
        self.receive("88977", "lee", **line, **bill)

    def short_slip(self) -> None:
        """Two cases on the slip; one is to come."""
        line = {"type_0": str(self.shop.can12.pk), "cases_0": "2", "sound_0": "12", "lots_0": "L24C-11"}
        self.receive("89630", "lee", **line, due_0="2026-06-01")

    def same_slip_again(self) -> None:
        """Marta types the same delivery from its invoice; the page asks, she says it is another, then merges them."""
        line = {"type_0": str(self.shop.can12.pk), "cases_0": "1", "lots_0": "L24C-11"}
        twice = self.receive("INV 551877", "marta", **line)
        marta, kept = self.desks["marta"], self.delivery("89630")
        other = str(Delivery.objects.get(number=twice).pk)
        page = marta.client.get(f"/deliveries/{kept}/merge/")
        offered = {choice for form in forms_on(page) for choice in form.offered.get("other", [])}
        marta.do(f"/deliveries/{kept}/merge/", other=other if other in offered else twice)

    def rest_of_the_slip(self) -> None:
        self.desks["lee"].do(f"/deliveries/{self.delivery('89630')}/rest/", sound_0="12", lots_0="L24C-12")

    def another_lot(self) -> None:
        """The second half of that case is of another lot; it says so on the cans."""
        cans = [can.pk for can in self.of("89630")[:6]]
        self.desks["lee"].do(f"/deliveries/{self.delivery('89630')}/lots/", lot="L24C-12", cans=cans)

    def bill_for_two(self) -> None:
        """A price typed for a case instead of a can is put right; not a gram moves."""
        number = self.delivery("88412")
        self.desks["marta"].do(
            f"/deliveries/{number}/invoice/", number="550917", dated="2026-04-03", total="598.40"
        )

    def ship(self) -> None:
        """The full cylinder goes to the facility, and an empty one takes its place."""
        lee = self.desks["lee"]
        where = {"name": "Sample Reclaim Works", "address": "9 Depot Street, Sample Springs, ST 00000"}
        lee.do("/shipments/facility/", **where)
        paper = {"carrier": "the facility's truck", "capped": "on", "RC-02": "13079"}
        facility = lee.client.get("/shipments/new/").context["form"].fields["facility"].queryset.get()
        lee.do("/shipments/new/", facility=str(facility.pk), scale=str(self.shop.scale.pk), **paper)
        stamps = {"code": "RC-08", "refrigerant": "R-134a", "tare": "17.1", "water": "26.2", "gross": "17.1"}
        lee.do("/cylinders/new/", **stamps, requalified_on="2025-01-10")
        self.cylinders["R-134a"] = "RC-08"

    def receipt(self) -> None:
        number = Shipment.objects.get().number
        their = {"number": "T-4471", "on": "2026-06-19", "RC-02": "5320"}
        self.desks["lee"].do(f"/shipments/{number}/receipt/", **their)

    def into_the_van(self) -> None:
        """Dev takes a sealed can for a call-out and nobody says that it arrived."""
        van = self.desks["dev"].client.get("/moves/new/").context["form"].fields["to"].queryset.get()
        self.desks["dev"].do("/moves/new/", containers="K-0048", to=str(van.pk))

    def may_count(self) -> None:
        self.count({"K-0029": "255", "K-0057": "217"}, {"RC-02": "12180", "RC-05": "8543"})

    def june_count(self) -> None:
        """K-0048 is not on its shelf. The open can of R-134a weighs what it should."""
        self.count({"K-0041": "340", "K-0063": "119"}, {"RC-08": "8511", "RC-05": "9405"}, lost="K-0048")

    def found_in_the_van(self) -> None:
        """Today says that the count is off; the hunt points at the van. The can is there, and all is counted again."""
        marta, count = self.desks["marta"], Count.objects.latest("pk")
        hunt = f"/counts/{count.pk}/difference/R-134a/"
        assert hunt in marta.client.get("/").content.decode()
        self.hunted = marta.read(hunt)
        page = marta.client.get("/moves/")
        (form,) = [one for one in forms_on(page) if one.action.endswith("/arrived/")]
        assert marta.client.post(form.action, form.filled).status_code == 302
        self.count({"K-0041": "340", "K-0063": "119"}, {"RC-08": "8511", "RC-05": "9405"})

    def sign_the_quarter(self) -> None:
        address = "/reports/draft/?first=2026-04-01&last=2026-06-30"
        self.report = self.desks["marta"].do(address).split("/")[2]

    def check_scale(self) -> None:
        self.desks["marta"].do("/equipment/SC-1/check/", against="500 g weight", known="500", shown="500")

    # --- Counting

    def count(self, cans: dict[str, str], cylinders: dict[str, str], lost: str = "") -> None:
        """Tick every lot whole, but for the lost can's, which is ticked can by can; weigh the rest; sign."""
        marta, address = self.desks["marta"], "/counts/new/"
        page = marta.client.get(address)
        (form,) = [one for one in forms_on(page) if "cylinder_scale" in one.offered]
        typed: dict[str, Value] = {**cans, **cylinders}
        typed |= {"scale": str(self.shop.scale.pk), "cylinder_scale": str(self.shop.scale.pk)}
        for lot in page.context["form"].lots:
            here = [can.code for can in lot.cans if can.code != lost]
            if len(here) == len(lot.cans):
                typed[f"all_{lot.name}"] = "on"
            elif here:
                typed[lot.name] = here
        typed |= {name: form.offered[name] for name in form.offered if name == "found_again"}
        summed, _ = marta.send(address, page, "add up", **typed)
        self.sent("marta", address, summed, "sign", **({"rest": "not found"} if lost else {}))

    # --- A delivery

    def receive(self, slip: str, who: str, **typed: str) -> str:
        """Type a slip, look at what was counted up, keep it. Returns the delivery's number."""
        desk, address = self.desks[who], "/deliveries/new/"
        page, _ = desk.press(address, "count", slip=slip, supplier=str(self.shop.supplier.pk), **typed)
        self.sent(who, address, page, "save")
        return self.delivery(slip)

    def delivery(self, slip: str) -> str:
        return Delivery.objects.get(slip=slip).number

    def of(self, slip: str) -> list[Container]:
        return list(Container.objects.filter(delivered__line__delivery__slip=slip).order_by("pk"))

    def damaged(self, number: str) -> list[str]:
        rows = Container.objects.filter(delivered__line__delivery__number=number, delivered__sound=False)
        return [can.pk for can in rows]

    def sent(self, who: str, address: str, page: Any, press: str, **typed: Value) -> None:
        """Press on a page that is open already; it must lead somewhere else."""
        answer, words = self.desks[who].send(address, page, press, **typed)
        assert answer.status_code == 302, words

    # --- A job

    def job(self, row: dict[str, str]) -> None:
        """One vehicle from the key on the counter to the signature."""
        address = self.check_in(row)
        self.recover(
            row["who"] if row["path"] != "two" else "dev",
            address,
            row,
            row["cylinder_before_g"],
            row["cylinder_after_g"],
        )
        if row["path"] == "leak-stop":
            return self.stop(address, row["who"])
        desk = self.desks[row["who"]]
        looked: dict[str, Value] = {
            "result": "no leak seen",
            "methods": ["eyes", "electronic detector"],
            "places": ["compressor", "hoses"],
        }
        desk.do(f"{address}leak-check/", **looked)
        desk.do(f"{address}repair/leave-out/", reason="no leak seen")
        self.evacuate(address, row)
        self.charge(address, row)
        desk.do(f"{address}final-readings/", vent="44", inlet="78", caps_on="on")
        desk.do(f"{address}close/")
        self.empty(row)
        return None

    def check_in(self, row: dict[str, str]) -> str:
        asked = {"charge": row["label_g"], "tolerance": row["tolerance_g"], "refrigerant": row["refrigerant"]}
        car = {"plate": row["plate"], "description": row["description"], "customer": row["customer"]}
        leads = self.desks[row["who"]].do("/bay/new/", **asked, **car, complaint="blows warm")
        return f"/bay/{leads.split('/')[2]}/"

    def recover(self, who: str, address: str, row: dict[str, str], before: str, after: str) -> None:
        gas = row["refrigerant"]
        machine = str(self.shop.equipment[MACHINES[gas]].pk)
        nothing = {"gauge": "0"} if before == after else {}
        typed = {"before": before, "after": after, "cylinder": self.cylinders[gas], "machine": machine}
        self.kept(who, f"{address}recovery/", **typed, **nothing)

    def stop(self, address: str, who: str) -> None:
        found: dict[str, Value] = {
            "result": "leak found",
            "methods": ["dye"],
            "places": ["condenser"],
            "detail": "condenser, lower left",
        }
        desk = self.desks[who]
        desk.do(f"{address}leak-check/", **found)
        desk.do(
            f"{address}not-charged/",
            stopped="leak found at the condenser",
            state_now="recovered, empty, ports capped",
            choice="declined the repair, by phone",
        )

    def evacuate(self, address: str, row: dict[str, str]) -> None:
        came = datetime.fromisoformat(f"{row['day']}T{row['time']}")
        now = came + timedelta(minutes=80)
        self.clock(row["day"], f"{now:%H:%M}")
        pulled = {
            "started_at": f"{came + timedelta(minutes=30):%Y-%m-%dT%H:%M}",
            "stopped_at": f"{came + timedelta(minutes=60):%Y-%m-%dT%H:%M}",
        }
        held = {
            "deepest": "600",
            "hold_from": "600",
            "hold_to": "720",
            "hold_minutes": "15",
            "result": "held",
        }
        self.kept(row["who"], f"{address}evacuation/", **pulled, **held)

    def charge(self, address: str, row: dict[str, str]) -> None:
        for can in row["cans"].split("; "):
            code, weighed, *emptied = can.split(" ")
            before, after = weighed.split(">")
            self.kept(row["who"], f"{address}charge/", container=code, reading=before, what="before")
            off = "empty" if emptied else "off"
            self.kept(row["who"], f"{address}charge/", container=code, reading=after, what=off)
        if row["path"] == "overshoot":
            start = int(row["cylinder_after_g"])
            self.recover(row["who"], address, row, str(start), str(start + int(row["back_g"])))
        told = (
            {"released": row["released_g"], "released_why": "tap left open; bay aired"}
            if row["released_g"] != "0"
            else {}
        )
        self.kept(row["who"], f"{address}charge/keep/", hoses=row["hoses_g"], **told)

    def kept(self, who: str, address: str, **typed: str) -> None:
        """Keep a form; when the page asks once whether it was read right, say that it was."""
        desk = self.desks[who]
        answer, words = desk.press(address, **typed)
        if answer.status_code == 200:
            buttons = [
                one for form in forms_on(answer) for one in form.buttons if one[0] in ("seen", "light")
            ]
            assert buttons, f"{address} {typed}: {words}"
            answer, words = desk.send(address, answer, buttons[0][1])
        assert answer.status_code == 302, f"{address} {typed}: {words}"

    def empty(self, row: dict[str, str]) -> None:
        """Recover the heels of what was emptied."""
        for can in row["cans"].split("; "):
            code, _, *emptied = can.split(" ")
            if emptied:
                heel = {"empty": emptied[1], "cylinder": self.cylinders[row["refrigerant"]]}
                self.kept(row["who"], f"/containers/{code}/heel/", **heel)


OFFICE = {
    "2026-03-31 16:00": "take_up_the_book",
    "2026-03-31 16:10": "name_the_van",
    "2026-04-01 07:30": "check_scale",
    "2026-04-02 08:40": "first_truck",
    "2026-04-04 09:00": "bill_for_two",
    "2026-04-09 10:00": "crushed_in_its_case",
    "2026-04-13 10:00": "two_too_many",
    "2026-04-20 09:00": "other_gas",
    "2026-05-05 07:30": "check_scale",
    "2026-05-06 09:00": "credit",
    "2026-05-18 08:30": "short_slip",
    "2026-05-19 08:00": "same_slip_again",
    "2026-05-20 08:00": "another_lot",
    "2026-05-29 16:30": "may_count",
    "2026-06-01 09:00": "rest_of_the_slip",
    "2026-06-05 07:30": "check_scale",
    "2026-06-17 15:00": "ship",
    "2026-06-20 09:00": "receipt",
    "2026-06-24 08:00": "into_the_van",
    "2026-06-30 16:30": "june_count",
    "2026-06-30 17:45": "found_in_the_van",
    "2026-07-02 18:00": "sign_the_quarter",
}
