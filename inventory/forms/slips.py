"""What happens to a delivery afterwards: its rest arrives or never will, lots, second slips, papers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from inventory.forms.attaching import PaperForm
from inventory.forms.receiving import LOTS_HELP, lots_of
from inventory.forms.rows import BOX
from inventory.models import Attachment, Container, Delivery, DeliveryLine
from inventory.queries import same_supplier
from inventory.services import PaperIn, RestIn, RestLineIn
from inventory.services.slips import MOST_CANS
from shop.forms import DayField, WholeField, line


class RestForm(forms.Form):
    """The rest of a slip: sound and damaged cans and their lots, for each line that waits."""

    on = DayField(label=_("Arrived on"))

    def __init__(self, data: Any = None, *, waiting: Sequence[DeliveryLine], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.waiting = waiting
        for number in range(len(waiting)):
            for name, label in (("sound", _("Sound")), ("damaged", _("Damaged"))):
                self.fields[f"{name}_{number}"] = WholeField(
                    label=label, required=False, most=MOST_CANS, template_name=BOX
                )
            self.fields[f"lots_{number}"] = line(
                200, label=_("Lot"), required=False, template_name=BOX, help_text=LOTS_HELP
            )

    def lines_of_fields(self) -> Iterator[tuple[DeliveryLine, list[forms.BoundField]]]:
        for number, one in enumerate(self.waiting):
            yield one, [self[f"{name}_{number}"] for name in ("sound", "damaged", "lots")]

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        self.lots: list[tuple[tuple[str, int], ...]] = []
        for number in range(len(self.waiting)):
            try:
                self.lots.append(lots_of(said.get(f"lots_{number}") or "", said.get(f"sound_{number}") or 0))
            except ValidationError as unread:
                self.add_error(f"lots_{number}", unread)
        return said

    def rest(self) -> RestIn:
        said = self.cleaned_data
        came = zip(self.waiting, self.lots, strict=True)
        return RestIn(
            said["on"],
            tuple(
                RestLineIn(one, said[f"sound_{number}"] or 0, said[f"damaged_{number}"] or 0, lots)
                for number, (one, lots) in enumerate(came)
            ),
        )


class DropForm(forms.Form):
    """Who said that the rest of a line will not come."""

    why = line(150, label=_("Who said so"), help_text=_("For example: supplier, by phone, out of stock."))

    def reason(self) -> str:
        return str(self.cleaned_data["why"])


class CanChoice(forms.ModelMultipleChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """Cans to tick, told by number, lot and what became of them."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(Container.objects.none(), widget=forms.CheckboxSelectMultiple, **rest)

    def label_from_instance(self, obj: Any) -> str:
        refused = ", refused" if hasattr(obj, "fate") else ""
        return f"{obj.code} {obj.can.type.name}{refused}"


class LotForm(forms.Form):
    """Cans of a delivery and the lot they are of."""

    lot = line(40, label=_("Lot, as printed on the can"), widget=forms.TextInput({"autocomplete": "off"}))
    cans = CanChoice(
        label=_("Cans of this lot"), error_messages={"required": _("Tick the cans that are of this lot.")}
    )

    def __init__(self, data: Any = None, *, cans: QuerySet[Container], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["cans"].queryset = cans  # type: ignore[attr-defined]


class DeliveryChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """Another delivery of the same supplier, told by slip and day."""

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.number}, slip {obj.slip}, {obj.on:%b} {obj.on.day}"


class MergeForm(forms.Form):
    """Which delivery was typed from a second paper of the same cans."""

    other = DeliveryChoice(
        queryset=None, empty_label=_("Choose"), label=_("The same delivery, typed once more as")
    )

    def __init__(self, data: Any = None, *, delivery: Delivery, **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["other"].queryset = same_supplier(delivery)  # type: ignore[attr-defined]


class AttachForm(PaperForm):
    """A paper or photo of a delivery."""

    what = forms.ChoiceField(
        label=_("What it is"),
        choices=Attachment.What.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what the file is.")},
    )

    def paper_in(self) -> tuple[PaperIn, Attachment.What]:
        said = self.cleaned_data
        return said["paper"], Attachment.What(said["what"])
