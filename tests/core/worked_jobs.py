"""From a row of fixtures/reconciliation_cases.csv to the facts of a job.

How a can is written there: number, readings with > between them, and in brackets what is not ordinary:
"K-0298 351>180 (open, book 225, last 351)". Ordinary is: sealed, of the job's refrigerant, weighed, bare. A word behind
a reading says otherwise: tap, hose (zeroed with it), label (not weighed), later (typed later). "466>" has no weight
after.
"""

from __future__ import annotations

from compliance.core.reconcile import CanWeights, ChargeFacts, Losses
from inventory.core.weighing import CanKind, Origin, Style, Ticket
from shop.core.mass import ZERO, Mass, Unit
from shop.core.reading import read_mass, unit_named
from tests.core.rows import mass_of

STYLES = {"tap": Style.TAP, "hose": Style.ZEROED}
ORIGINS = {"label": Origin.LABEL, "later": Origin.TYPED_LATER}
Row = dict[str, str]


def facts_of(row: Row) -> ChargeFacts:
    """The job that the row tells of."""
    return ChargeFacts(
        refrigerant=row["refrigerant"],
        cans=tuple(_can(text.strip(), row) for text in row["cans"].split(";") if text.strip()),
        losses=Losses(
            hoses=_amount(row["hoses"]),
            hoses_half_width_g=_amount(row["hoses_give"]).grams,
            purge=_amount(row["purge"]),
            purge_half_width_g=_amount(row["purge_give"]).grams,
            released=_amount(row["released"]),
            recovered_back=_amount(row["recovered_back"]),
            recovered_back_u_g=_amount(row["back_u"]).grams,
        ),
        label=_known(row["label"]),
        tolerance_below=_known(row["below"]),
        tolerance_above=_known(row["above"]),
        recovered_first=row["emptied_first"] == "yes",
    )


def _known(text: str) -> Mass | None:
    return mass_of(text) if text else None


def _amount(text: str) -> Mass:
    return mass_of(text) if text else ZERO


def _unit(row: Row) -> Unit:
    unit, found = unit_named(row["unit"])
    assert unit is not None, found
    return unit


def _can(text: str, row: Row) -> CanWeights:
    code, _, rest = text.partition(" ")
    weights, _, words = rest.partition("(")
    said = [word.strip() for word in words.rstrip(") ").split(",") if word.strip()]
    tickets = tuple(_ticket(one, row) for one in weights.split(">") if one.strip())
    net, shell = mass_of(row["net"]), mass_of(row["shell"])
    last, book = _said(said, "last "), _said(said, "book ")
    return CanWeights(
        code=code,
        lot="",
        refrigerant=next((word for word in said if word.startswith("R-")), row["refrigerant"]),
        kind=CanKind(net, shell),
        book=_ticket(book, row).gross if book else net,
        sealed="open" not in said,
        tickets=tickets,
        previous=_ticket(last, row) if last else None,
        emptied=False,
    )


def _said(words: list[str], about: str) -> str:
    return next((word.removeprefix(about) for word in words if word.startswith(about)), "")


def _ticket(text: str, row: Row) -> Ticket:
    number, _, last = text.strip().rpartition(" ")
    style, origin = STYLES.get(last, Style.BARE), ORIGINS.get(last, Origin.WEIGHED)
    typed = number if last in STYLES or last in ORIGINS else text
    reading, found = read_mass(typed, _unit(row), division=mass_of(row["division"]))
    assert reading is not None, found
    return Ticket(reading, mass_of(row["division"]), style, origin)
