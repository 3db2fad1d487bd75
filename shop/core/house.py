"""The shop's own rules with their defaults. Each is the owner's to change, from a day on, with a reason.

None of these is law. A default marked "common practice, no source" is a habit of the trade and is printed as a shop
rule only.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

from shop.core.findings import Finding, blocked


@dataclass(frozen=True, slots=True)
class HouseRules:
    """The rules in force on one day. Masses in grams, times in minutes, fractions of one."""

    leak_test_percent: Decimal = Decimal("15")
    evacuation_minutes: Decimal = Decimal("30")
    vacuum_hold_minutes: Decimal = Decimal("15")
    pressure_hold_minutes: Decimal = Decimal("15")
    heel_limit_g: Decimal = Decimal("20")
    same_can_g: Decimal = Decimal("3")
    sealed_light_g: Decimal = Decimal("10")
    hose_allowance_g: Decimal = Decimal("6")
    hose_give_or_take_g: Decimal = Decimal("2")
    purge_allowance_g: Decimal = Decimal("1.5")
    scale_gain_percent: Decimal = Decimal("0.1")
    cylinder_fill_percent: Decimal = Decimal("80")
    cylinder_years: Decimal = Decimal("5")
    count_limit_percent: Decimal = Decimal("1")
    count_limit_g: Decimal = Decimal("50")
    keep_years: Decimal = Decimal("3")
    scale_check_days: Decimal = Decimal("31")
    top_up_without_recovery: Decimal = Decimal("0")
    lock_minutes: Decimal = Decimal("5")
    altitude_ft: Decimal = Decimal("0")
    gauge_step_psi: Decimal = Decimal("1")
    gauge_error_psi: Decimal = Decimal("1")
    thermometer_error_f: Decimal = Decimal("2")
    detector_g_year: Decimal = Decimal("4")
    recovery_percent: Decimal = Decimal("97")
    recovery_give_or_take_percent: Decimal = Decimal("2.6")
    warranty_days: Decimal = Decimal("365")
    whole_card_on_link: Decimal = Decimal("0")
    card_copy_days: Decimal = Decimal("14")

    def at(self, altitude_ft: int) -> HouseRules:
        """The same rules somewhere else."""
        return replace(self, altitude_ft=Decimal(altitude_ft))


@dataclass(frozen=True, slots=True)
class RuleSheet:
    """How a rule is named, bounded and founded."""

    key: str
    name: str
    unit: str
    least: Decimal
    most: Decimal
    basis: str


def _sheet(key: str, name: str, unit: str, least: str, most: str, basis: str) -> RuleSheet:
    return RuleSheet(key, name, unit, Decimal(least), Decimal(most), basis)


HABIT = "common practice, no source"
OWN = "the tool's own choice"
UNMEASURED = "the tool's own choice, until a hose set is measured"
SHEETS = (
    _sheet("leak_test_percent", "Leak-test charge", "% of the label charge", "5", "50", HABIT),
    _sheet("evacuation_minutes", "Evacuation", "minutes at least", "0", "240", HABIT),
    _sheet("vacuum_hold_minutes", "Vacuum hold", "minutes at least", "0", "240", HABIT),
    _sheet("pressure_hold_minutes", "Leak-test hold", "minutes at least", "0", "240", HABIT),
    _sheet("heel_limit_g", "Heel of an empty can", "g at most", "0", "60", OWN),
    _sheet("same_can_g", "Same can, before against last after", "g either way", "0", "20", OWN),
    _sheet("sealed_light_g", "Sealed can is light by more than", "g", "1", "50", OWN),
    _sheet(
        "hose_allowance_g",
        "Left in the hoses",
        "g for one hose set",
        "0",
        "60",
        UNMEASURED,
    ),
    _sheet("hose_give_or_take_g", "Hose allowance, give or take", "g", "0", "30", UNMEASURED),
    _sheet("purge_allowance_g", "Purging a hose", "g each time", "0", "20", OWN),
    _sheet("scale_gain_percent", "Scale gain error, at most", "%", "0", "2", "the scale's last checks"),
    _sheet("cylinder_fill_percent", "Cylinder filled to", "% of water capacity by weight", "50", "80", HABIT),
    _sheet(
        "cylinder_years",
        "Cylinder requalified every",
        "years",
        "1",
        "12",
        "40 CFR 82 Subpart B App. C 7.3.3: five; 49 CFR 180.209(a) by specification",
    ),
    _sheet("count_limit_percent", "Count difference worth a look", "% of what was handled", "0.1", "10", OWN),
    _sheet("count_limit_g", "Count difference worth a look, at least", "g", "0", "1000", OWN),
    _sheet(
        "keep_years", "Keep records", "years at least", "3", "50", "40 CFR 82.42(b)(4): three years at least"
    ),
    _sheet("scale_check_days", "Scale is checked with the known weight every", "days", "1", "366", OWN),
    _sheet("top_up_without_recovery", "Top-up without recovery", "1 allowed, 0 not", "0", "1", OWN),
    _sheet("lock_minutes", "Shared station locks after", "minutes", "1", "60", OWN),
    _sheet(
        "altitude_ft",
        "Height of the shop",
        "ft above sea level",
        "-1400",
        "14000",
        "sea level until it is set",
    ),
    _sheet("gauge_step_psi", "Manifold gauge can be read to", "psi", "0.01", "10", OWN),
    _sheet("gauge_error_psi", "Manifold gauge, give or take", "psi", "0.1", "20", OWN),
    _sheet("thermometer_error_f", "Thermometer, give or take", "°F", "0.2", "10", OWN),
    _sheet("detector_g_year", "Leak detector set to", "g a year", "1", "100", "SAE J2791 scales 4, 7, 14"),
    _sheet(
        "recovery_percent",
        "Recovery takes out",
        "% of what is in the system",
        "70",
        "100",
        "the tool's own choice; SAE J2788 asks for 95 % in 30 min at 21 to 24 °C",
    ),
    _sheet("recovery_give_or_take_percent", "Recovery, give or take", "% of the charge", "0.1", "15", OWN),
    _sheet("whole_card_on_link", "Card numbers on a customer's link", "1 whole, 0 last four", "0", "1", OWN),
    _sheet(
        "card_copy_days", "Copy of a 609 card that the owner has seen follows within", "days", "1", "30", OWN
    ),
    _sheet("warranty_days", "A charge that is lost is a comeback within", "days", "0", "1830", HABIT),
)
SHEET = {sheet.key: sheet for sheet in SHEETS}


def house_rules(changes: Iterable[tuple[str, str]]) -> HouseRules:
    """The defaults with these (key, value) changes laid over them, in order; unknown keys are passed over."""
    return replace(HouseRules(), **{key: Decimal(value) for key, value in changes if key in SHEET})


def rule_problems(key: str, value: str) -> list[Finding]:
    """What is wrong with this value for this rule."""
    sheet = SHEET.get(key)
    if sheet is None:
        return [blocked("rule-unknown", "There is no such shop rule. Pick one from the list.", "key")]
    try:
        number = Decimal(value.strip())
    except InvalidOperation:
        return [blocked("rule-not-a-number", f"{sheet.name}: type a number, in {sheet.unit}.", "value")]
    if not number.is_finite() or not sheet.least <= number <= sheet.most:
        sentence = f"{sheet.name}: type a number from {sheet.least} to {sheet.most} ({sheet.unit})."
        return [blocked("rule-out-of-bounds", sentence, "value")]
    return []
