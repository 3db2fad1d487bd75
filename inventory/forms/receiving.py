"""Receive: one row of boxes for each kind of can on the slip."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.rows import BOX, Rows, TypeChoice
from inventory.models import Delivery, Supplier
from inventory.queries import UsualOrder, delivery_of_slip, looks_like, suppliers
from inventory.services import DeliveryIn, InvoiceIn, LineIn
from inventory.services.slips import MOST_CANS, as_slip
from shop.core.findings import Refused
from shop.core.mass import Mass, total
from shop.forms import DayField, DollarField, WholeField, line
from shop.models import Establishment
from shop.queries import people

LOT = re.compile(
    r"^(?P<lot>.+?)(?:\s+[x\N{MULTIPLICATION SIGN}*]\s*(?P<cans>\d{1,4}))?$", re.IGNORECASE | re.ASCII
)
LOTS_HELP = "L24B-07, or L24B-07 x 20, L25A x 16"
ROW = ("type", "cases", "cans", "damaged", "sound", "lots")
LATER = ("ordered", "due")
INVOICE = ("number", "dated", "total")


@dataclass(frozen=True, slots=True)
class CountedUp:
    """A line of the slip, worked out, to be looked at before it is saved."""

    line: LineIn
    cases: int
    cans: int

    @property
    def to_come(self) -> int:
        return max(self.line.ordered or 0, self.line.on_slip) - self.line.sound - self.line.damaged

    @property
    def mass(self) -> Mass:
        return self.line.type.net * self.line.sound

    @property
    def sum(self) -> str:
        """Such as "3 cases = 36 cans", so that cases typed for cans are seen."""
        said = [f"{self.cases} case{'s' * (self.cases != 1)}"] if self.cases else []
        said += [f"{self.cans} can{'s' * (self.cans != 1)}"] if self.cans or not said else []
        whole = f" = {self.line.on_slip} can{'s' * (self.line.on_slip != 1)}" if self.cases else ""
        return " and ".join(said) + whole


def _number(label: str, *, most: int = MOST_CANS, **rest: Any) -> WholeField:
    return WholeField(label=label, required=False, most=most, template_name=BOX, **rest)


class ReceiveForm(Rows):
    """A delivery as its slip tells it. ``counted`` repeats what "Count it up" showed: nothing is saved unseen."""

    supplier: forms.ModelChoiceField[Supplier] = forms.ModelChoiceField(
        None, empty_label="Choose", label="From"
    )
    slip = line(40, label="Packing slip number", widget=forms.TextInput({"autocomplete": "off"}))
    on = DayField(label="Arrived on")
    asked = forms.ChoiceField(
        label="Did the supplier ask for a 609 card?", choices=Delivery.Asked.choices, widget=forms.RadioSelect
    )
    asked_of = forms.ChoiceField(  # type: ignore[call-arg] # the stubs do not know template_name yet
        label="Card of, if one was shown", required=False, template_name=BOX
    )
    number = line(40, label="Invoice number", required=False, template_name=BOX)
    dated = DayField(label="Invoice date", required=False, template_name=BOX)
    total = DollarField(label="Total, with tax and deposit", required=False, template_name=BOX)
    counted = forms.CharField(widget=forms.HiddenInput, required=False, max_length=400)
    row_names = ROW + LATER

    def __init__(self, data: Any = None, *, establishment: Establishment, **rest: Any) -> None:
        self.establishment = establishment
        super().__init__(data, **rest)
        self.fields["supplier"].queryset = suppliers(establishment)  # type: ignore[attr-defined]
        names = [person.name for person in people(establishment) if person.cards.all()]
        self.fields["asked_of"].choices = [("", "–"), *zip(names, names, strict=True)]  # type: ignore[attr-defined]

    def row_fields(self, number: int) -> dict[str, forms.Field]:
        return {
            "type": TypeChoice(label="What"),
            "cases": _number("Cases", most=500),
            "cans": _number("Single cans", help_text="Instead of cases, or beside them"),
            "damaged": _number("Damaged", help_text="Empty: none"),
            "sound": _number("Sound", help_text="Empty: all but the damaged"),
            "lots": line(200, label="Lot", required=False, template_name=BOX, help_text=LOTS_HELP),
            "ordered": _number("Cans ordered", help_text="Empty: as many as on the slip"),
            "due": DayField(label="The rest comes on", required=False, template_name=BOX),
        }

    def rows_in_parts(self) -> Iterator[tuple[list[forms.BoundField], list[forms.BoundField], bool]]:
        """Row by row: what every slip says, what only a short one needs, and whether that was typed."""
        for number in range(self.count):
            later = [self[f"{name}_{number}"] for name in LATER]
            yield [self[f"{name}_{number}"] for name in ROW], later, any(one.value() for one in later)

    def clean(self) -> dict[str, Any]:
        self.lines = [done for number in range(self.count) if (done := self._line(number)) is not None]
        self.used = [number for number in range(self.count) if not self.is_blank(number)]
        if self.has_invoice:
            for name in INVOICE:
                if self.cleaned_data.get(name) in (None, "") and name not in self.errors:
                    self.add_error(
                        name, "The invoice needs this too; or leave all three empty until it comes."
                    )
        return self.cleaned_data

    @property
    def has_invoice(self) -> bool:
        """Whether anything of the invoice was typed, right or wrong."""
        return any(self[name].data for name in INVOICE)

    def _line(self, number: int) -> CountedUp | None:
        """What a row says; None for a blank one and for one with something wrong in it."""
        if self.is_blank(number) and number > 0:
            return None
        kind, cases, cans = (self.typed(number, name) for name in ("type", "cases", "cans"))
        if kind is None and f"type_{number}" not in self.errors:
            self.add_error(f"type_{number}", "Choose the kind of can.")
        if not cases and not cans and not {f"cases_{number}", f"cans_{number}"} & self.errors.keys():
            self.add_error(f"cases_{number}", "Type how many cases or single cans the slip says.")
        if kind is None or any(f"{name}_{number}" in self.errors for name in self.row_names):
            return None
        on_slip = (cases or 0) * kind.cans_per_case + (cans or 0)
        damaged = self.typed(number, "damaged") or 0
        typed = self.typed(number, "sound")
        sound = max(on_slip - damaged, 0) if typed is None else typed
        try:
            lots = lots_of(self.typed(number, "lots") or "", sound)
        except ValidationError as unread:
            self.add_error(f"lots_{number}", unread)
            return None
        counted = LineIn(
            kind, on_slip, sound, damaged, lots, self.typed(number, "ordered"), self.typed(number, "due")
        )
        return CountedUp(counted, cases or 0, cans or 0)

    @property
    def counted_now(self) -> str:
        """What "Count it up" shows, in short; the save repeats it."""
        return "/".join(
            f"{done.line.type.pk}:{done.line.on_slip}:{done.line.sound}:{done.line.damaged}"
            + (f":{done.line.ordered}" if done.line.ordered is not None else "")
            for done in self.lines
        )

    @property
    def was_shown(self) -> bool:
        return bool(self.cleaned_data["counted"] == self.counted_now)

    @property
    def mass(self) -> Mass:
        return total(done.mass for done in self.lines)

    def delivery(self, *, another: bool = False) -> DeliveryIn:
        said = self.cleaned_data
        return DeliveryIn(
            supplier=said["supplier"],
            slip=said["slip"],
            on=said["on"],
            lines=tuple(done.line for done in self.lines),
            asked=said["asked"],
            asked_of=said["asked_of"] if said["asked"] == Delivery.Asked.CARD_SHOWN else "",
            another=another,
        )

    def invoice_now(self) -> InvoiceIn | None:
        """The invoice, if it came with the cans."""
        said = self.cleaned_data
        return InvoiceIn(*(said[name] for name in INVOICE)) if self.has_invoice else None

    def slip_known(self) -> Delivery | None:
        """The delivery that this slip is already in, to be opened instead."""
        return delivery_of_slip(self.cleaned_data["supplier"], as_slip(self.cleaned_data["slip"]))

    def twin(self) -> Delivery | None:
        """A delivery that looks just like this one, under another slip."""
        if self.slip_known() is not None:
            return None
        said = self.cleaned_data
        cans = Counter((done.line.type.pk, done.line.on_slip) for done in self.lines)
        return looks_like(self.establishment, said["supplier"], said["on"], cans)

    def in_rows(self, refused: Refused) -> Refused:
        """The same findings, with a line's number put back to the row that it was typed in."""
        return Refused(
            type(one)(one.code, one.weight, one.message, self._row_field(one.field), one.basis)
            for one in refused.findings
        )

    def _row_field(self, field: str) -> str:
        name, _, number = field.rpartition("_")
        return f"{name}_{self.used[int(number)]}" if name in self.row_names and number.isdecimal() else field


def as_typed(order: UsualOrder) -> dict[str, Any]:
    """A usual order as the boxes of ``ReceiveForm`` show it: whole cases, and single cans beside them."""
    first: dict[str, Any] = {"supplier": order.supplier.pk, "rows": len(order.lines)}
    for number, (kind, cans) in enumerate(order.lines):
        cases, single = divmod(cans, kind.cans_per_case)
        first |= {f"type_{number}": kind.pk, f"cases_{number}": cases or "", f"cans_{number}": single or ""}
    return first


def lots_of(text: str, sound: int) -> tuple[tuple[str, int], ...]:
    """ "L24B-07" for all cans, or "L24B-07 x 20, L25A x 16"; one lot without a number takes the rest."""
    parts = [LOT.match(part.strip()) for part in re.split(r"[,;]", text) if part.strip()]
    named = [(part["lot"].strip(), int(part["cans"]) if part["cans"] else None) for part in parts if part]
    if any(len(lot) > 40 for lot, _ in named):
        raise ValidationError("A lot has at most 40 characters.")
    return lots_shared(named, sound)


def lots_shared(named: Sequence[tuple[str, int | None]], sound: int) -> tuple[tuple[str, int], ...]:
    """Each lot with its cans; one without a number takes the rest. Raises ``ValidationError`` for a second such one."""
    if sum(1 for _, cans in named if cans is None) > 1:
        raise ValidationError("Say how many cans of each lot, for example L24B-07 x 20, L25A x 16.")
    rest = max(sound - sum(cans for _, cans in named if cans is not None), 0)
    return tuple((lot, rest if cans is None else cans) for lot, cans in named)


class UndoForm(forms.Form):
    """Why a delivery is taken back out of the book."""

    why = line(150, label="Why it is undone", help_text="For example: typed twice, wrong kind of can.")

    def reason(self) -> str:
        return str(self.cleaned_data["why"])
