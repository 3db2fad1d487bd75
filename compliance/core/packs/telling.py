"""One rule as its own page tells it: no code, no word that only a pack knows."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from compliance.core.packs.kinds import Kind, Moment, PackRule
from shop.core.mass import Mass, Unit

KINDS = {
    Kind.FIELD: "something that is written down",
    Kind.CHECKLIST: "a list of parts to look at",
    Kind.GATE: "something that has to be so",
    Kind.DISCLOSURE: "something that the customer is told",
    Kind.INVOICE_LINE: "a line of the invoice",
    Kind.LABEL: "a label",
    Kind.RETENTION: "how long records are kept",
    Kind.REPORT: "a report that is sent in",
    Kind.SUPPLY: "how refrigerant is bought and sold",
    Kind.ATTRIBUTION: "whose something is",
}
MOMENTS = {
    Moment.CHECK_IN: "at check-in",
    Moment.RECOVERY: "at recovery",
    Moment.LEAK_CHECK: "at the leak check",
    Moment.REPAIR: "at the repair",
    Moment.EVACUATION: "at evacuation",
    Moment.LEAK_TEST: "at the leak-test charge",
    Moment.CHARGE: "at the charge",
    Moment.FINAL_READINGS: "at the final readings",
    Moment.CLOSING: "when the job is closed",
    Moment.RECEIVING: "when cans come in",
    Moment.SHIPPING: "when refrigerant leaves the shop",
    Moment.KEEPING: "as long as records are kept",
    Moment.SELLING: "when something is sold",
}
NEEDS = {
    "card-in-force": "whoever does the work holds a 609 card",
    "machine-refrigerant": "the machine's plate names the refrigerant",
    "machine-standard": "the machine's plate names a standard for what it does",
    "leak-answered": "a leak that was found is repaired before the charge",
    "leak-looked-for": "leaks are looked for before the charge",
    "vacuum-pulled": "the system is recovered or evacuated before the charge",
    "cylinder-retested": "the cylinder's stamp is no more than five years old",
    "model-year-fits": "the model year fits the refrigerant",
    "conduct": "how people act; no reading can show it, so nothing here looks for it",
}
VERDICTS = {
    "allowed": "by anybody",
    "needs basis": "by who has what the rule asks for",
    "barred": "by nobody",
}
NAMES = {
    "record": "Written down",
    "kept_at": "Where it stands",
    "items": "Parts",
    "needs": "What has to be so",
    "say": "Words",
    "value": "Value",
    "when": "When",
    "records": "Records",
    "years": "Years at least",
    "counted_from": "Counted from",
    "sent_to": "Sent to",
    "more_than_g": "For containers of more than",
    "up_to_g": "For containers of up to",
    "verdict": "May be bought",
    "belongs_to": "Belongs to",
}
CODED = {"needs": NEEDS, "verdict": VERDICTS}


def details(rule: PackRule) -> Iterator[tuple[str, str]]:
    """When it is looked at, what kind it is, and what belongs to its kind alone."""
    yield "Looked at", MOMENTS[rule.moment]
    yield "Kind of rule", KINDS[rule.kind]
    for name, value in rule.params.items():
        if name in CODED:
            yield NAMES[name], CODED[name][str(value)]
        elif isinstance(value, Decimal):
            mass = Mass.of(value, Unit.G)
            yield NAMES[name], f"{mass.rounded(Unit.G, 0)} g ({mass.rounded(Unit.LB, 1)} lb)"
        else:
            yield NAMES[name], ", ".join(value) if isinstance(value, tuple) else str(value)
