"""A technician's program in the bay: a job by nothing but requests, for the tests to compose."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils import timezone

from inventory.models import Container
from inventory.services import CylinderIn, add_cylinder
from shop.core.mass import Unit
from shop.http import now
from tests.api.program import Program
from tests.factories import Shop, reading

CAR = {
    "plate": "smp-417",
    "description": "2014 sedan, blue",
    "customer": "Ines Calloway",
    "complaint": "blows warm",
    "refrigerant": "R-134a",
    "label": {"charge": {"value": "500", "unit": "g"}, "tolerance": {"value": "20", "unit": "g"}},
}


def g(text: str) -> dict[str, str]:
    """A reading in grams, as it is sent."""
    return {"value": text, "unit": "g"}


def micron(text: str) -> dict[str, str]:
    return {"value": text, "unit": "micron"}


def ago(minutes: int) -> str:
    return (now() - timedelta(minutes=minutes)).isoformat()


def fresh_cylinder(shop: Shop) -> Container:
    """A recovery cylinder for R-134a that was retested today: 7756 g of steel and nothing in it."""
    today = timezone.localdate(now())
    cylinder = CylinderIn(
        "RC-09",
        "R-134a",
        tare=reading("17.1", Unit.LB),
        water=reading("26.2", Unit.LB),
        gross=reading("17.1", Unit.LB),
        requalified_on=today,
        serial="SAMPLE-RC-09",
    )
    return add_cylinder(cylinder, shop.establishment, on=today, at=now(), by=shop.lee)


@dataclass
class BayProgram:
    """One job, worked on through one program."""

    program: Program
    number: str

    @classmethod
    def check_in(cls, program: Program, **said: Any) -> BayProgram:
        answer = program.post("/api/jobs/", CAR | said)
        assert answer.status_code == 201, answer.json()
        return cls(program, answer.json()["number"])

    def at(self, below: str = "") -> str:
        return f"/api/jobs/{self.number}/{below}"

    def post(self, below: str, **said: Any) -> Any:
        """What was written."""
        answer = self.program.post(self.at(below), said)
        assert answer.status_code == 201, answer.json()
        return answer.json()

    def refused(self, below: str, **said: Any) -> dict[str, str]:
        """The field of each finding that stops or asks, by its code."""
        answer = self.program.post(self.at(below), said)
        assert answer.status_code in (400, 422), answer.json()
        return {one["code"]: one["field"] for one in answer.json()["findings"] if one["weight"] != "note"}

    def get(self, below: str = "") -> Any:
        answer = self.program.get(self.at(below))
        assert answer.status_code == 200, answer.json()
        return answer.json()

    def recovery(self, before: str = "7756", after: str = "7966", **more: Any) -> dict[str, Any]:
        """The body of a recovery into RC-09."""
        machine = {"machine": "RE-1", "cylinder": "RC-09", "scale": "SC-1"}
        return machine | {"before": g(before), "after": g(after), "started_at": ago(90)} | more

    def evacuation(self, **more: Any) -> dict[str, Any]:
        """The body of an evacuation that ended 25 min ago, with a hold of 15 min."""
        pumped = {"pump": "VP-1", "started_at": ago(60), "stopped_at": ago(25), "deepest": micron("600")}
        held = {"hold_minutes": 15, "hold_from": micron("600"), "hold_to": micron("720"), "result": "held"}
        return pumped | held | more

    def leak_check(self, **more: Any) -> Any:
        looked = {"methods": ["eyes", "electronic detector"], "instrument": "LD-1", "places": ["hoses"]}
        return self.post("leak-check/", **{"result": "no leak seen"} | looked | more)

    def weigh(self, can: str, text: str, what: str, **more: Any) -> Any:
        return self.post("tickets/", **self.on_the_pan(can, text, what), **more)

    @staticmethod
    def on_the_pan(can: str, text: str, what: str) -> dict[str, Any]:
        return {"container": can, "scale": "SC-1", "reading": g(text), "what": what}

    def up_to_charge(self) -> None:
        self.post("recovery/", **self.recovery())
        self.leak_check()
        self.post("evacuation/", **self.evacuation())

    def charged(self) -> None:
        """338 g and 171 g out, 6 g in the hoses: 503 g in a 500 g car."""
        self.up_to_charge()
        self.weigh("K-0001", "466", "before")
        self.weigh("K-0001", "128", "empty")
        self.weigh("K-0002", "464", "before")
        self.weigh("K-0002", "293", "off")
        self.post("charge/", hoses=g("6"))
        self.post("final-readings/", vent={"value": "44", "unit": "°F"}, caps_on=True)
