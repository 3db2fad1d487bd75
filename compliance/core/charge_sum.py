"""The charge of one job, rounded so that it adds up on paper, and what its label and its uncertainty say of it."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.certificate_facts import ChargeFactsPrinted, System
from compliance.core.wording import GLUE, footed, grams, held, number, ounces, places_for, said
from shop.core.phrase import phrase

VERDICTS = {
    "shown": phrase("inside the tolerance"),
    "not shown": phrase("not shown either way"),
    "outside": phrase("outside the tolerance"),
}


@dataclass(frozen=True, slots=True)
class ChargeSum:
    """The charge as it is printed: every amount already rounded so that the columns add up, in micrograms."""

    places: int
    out: int
    cans: tuple[int, ...]
    vehicle: int
    hoses: int
    purge: int
    released: int
    back: int

    @property
    def check(self) -> str:
        """The sum in one line, as a reader can check it in the head: "509 = 503 + 6 + 0 + 0"."""
        parts = [self.vehicle, self.hoses, *([self.purge] if self.purge else []), self.back, self.released]
        return f"{number(self.out, self.places)} = {' + '.join(number(part, self.places) for part in parts)}"


def charge_sum(charge: ChargeFactsPrinted) -> ChargeSum:
    """Round the charge for print. Raises ValueError when the exact sum does not hold."""
    outs = [can.out_ug for can in charge.cans]
    parts = [
        charge.vehicle_ug,
        charge.hoses_ug,
        charge.purge_ug,
        charge.released_ug,
        charge.recovered_back_ug,
    ]
    held(outs, charge.out_ug, "out of cans")
    held(parts, charge.out_ug, "where the charge went")
    places = places_for([*outs, *parts])
    vehicle, hoses, purge, released, back = footed(parts, charge.out_ug, places)
    cans = footed(outs, charge.out_ug, places)
    return ChargeSum(places, sum(cans), cans, vehicle, hoses, purge, released, back)


def label_text(system: System) -> str:
    """The charge that the label asks for: grams first, the label's own figure as it was typed."""
    if system.charge_ug is None:
        return phrase("not recorded")
    return f"{label_grams(system)} ({label_ounces(system)})"


def label_grams(system: System) -> str:
    """ "500 g", with the decimals that the label has; "" without a label."""
    if system.charge_ug is None:
        return ""
    return system.charge.replace(" ", GLUE) if system.charge.endswith(" g") else grams(system.charge_ug)


def label_ounces(system: System) -> str:
    """The same in ounces, or in the label's own unit when that is ounces or pounds."""
    if system.charge_ug is None:
        return ""
    metric = not system.charge or system.charge.endswith((" g", " kg"))
    return ounces(system.charge_ug) if metric else system.charge.replace(" ", GLUE)


def tolerance_text(system: System) -> str:
    """ "± 20 g" as on the label, "" when it gives none."""
    if system.tolerance_below_ug is None or system.tolerance_above_ug is None:
        return ""
    if system.tolerance_below_ug == system.tolerance_above_ug:
        return f"± {system.tolerance or grams(system.tolerance_above_ug)}".replace(" ", "\u00a0")
    return phrase(
        "{tolerance_below_ug} below to {tolerance_above_ug} above",
        tolerance_below_ug=grams(system.tolerance_below_ug),
        tolerance_above_ug=grams(system.tolerance_above_ug),
    )


def give_or_take(charge: ChargeFactsPrinted) -> str:
    """ "2.7 g": two standard uncertainties, to a tenth."""
    return grams(charge.expanded_ug, 1)


def verdict_sentence(system: System, charge: ChargeFactsPrinted) -> str:
    """Whether the charge is inside the label's tolerance, in plain words; never more than the weights can show."""
    if system.charge_ug is None:
        return phrase("No charge weight from a label, so there is nothing to compare with.")
    if charge.deviation_ug is None:
        return phrase(
            "The system was not emptied first, so the total in it is unknown. Only what was put in is stated;"
            " it is not compared with the label."
        )
    if not tolerance_text(system) or charge.verdict not in VERDICTS:
        return phrase("No tolerance on the label, so no verdict.")
    counts = (
        phrase("0.05 or less counts as shown")
        if charge.verdict == "outside"
        else phrase("0.95 or more counts as shown")
    )
    chance = phrase(
        "The calculated chance of being inside is {chance}; {counts}.", chance=_chance(charge), counts=counts
    )
    if charge.verdict == "shown":
        return phrase("Inside the label's tolerance, shown. {chance}", chance=chance)
    if charge.verdict == "outside":
        return phrase(
            "Outside the label's tolerance, shown. {chance}",
            chance=chance,
        )
    return phrase(
        "Not shown either way: the weights cannot tell whether the charge is inside the label's"
        " tolerance. {chance}",
        chance=chance,
    )


def _chance(charge: ChargeFactsPrinted) -> str:
    """Four decimals cannot say certainty, in either direction."""
    ends = {"1.0000": phrase("more than 0.9999"), "0.0000": phrase("less than 0.0001")}
    return ends.get(charge.probability, said(charge.probability))
