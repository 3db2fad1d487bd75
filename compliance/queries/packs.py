"""The packs on file, and those that hold for a shop on a day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path

from django.db.models import QuerySet

from compliance.core.certificate_notes import AskedFacts
from compliance.core.packs import (
    Kept,
    Kind,
    Layer,
    Level,
    Pack,
    Place,
    Status,
    read_pack,
    read_places,
    stack,
)
from compliance.core.packs.shapes import RECORDS, RETROFIT
from compliance.core.packs.words import STATES, JobRules
from compliance.core.rules.packs import items_of
from compliance.models import PackAnswer, PackChoice
from compliance.queries.sheets import Sheet
from shop.core.phrase import phrase
from shop.models import Establishment
from shop.queries import rules_on

FOLDER = Path(__file__).resolve().parents[1] / "rule_packs"
FEDERAL = "us"
TITLES = {
    Kind.CHECKLIST: phrase("Looked at"),
    Kind.DISCLOSURE: phrase("Said to the customer"),
    Kind.LABEL: phrase("Label on the car"),
}
LABEL_ASKED, SEEN, UNSEEN = phrase("Asked for"), phrase("was on the car"), phrase("not written down")


@cache
def packs_on_file() -> tuple[Pack, ...]:
    """Every edition in the repository. Raises ``BadPack`` when one of them is no pack."""
    return tuple(read_pack(path.read_text(encoding="utf-8")) for path in pack_files())


def pack_files() -> list[Path]:
    return sorted(FOLDER.glob("us*.toml"))


@cache
def places_looked_at() -> Mapping[str, Place]:
    """States whose rules were looked for and not found, by their two letters."""
    text = (FOLDER / "nothing-found.toml").read_text(encoding="utf-8")
    return {place.code: place for place in read_places(text)}


def state_pack(state: str) -> str:
    """The id of a state's pack; "" when there is none on file."""
    wanted = f"{FEDERAL}-{state.lower()}"
    return wanted if any(pack.id == wanted for pack in packs_on_file()) else ""


def local_packs(day: date) -> list[Pack]:
    """The local packs that may be chosen, in the edition of a day."""
    return [pack for pack in packs_on_file() if pack.level is Level.LOCAL and pack.covers(day)]


def state_choices() -> list[tuple[str, str, str]]:
    """Every state: its letters, its name, and what is on file ("pack", "none found", "not looked for")."""
    looked = places_looked_at()
    return [
        (code, name, "pack" if state_pack(code) else "none found" if code in looked else "not looked for")
        for code, name in STATES.items()
    ]


def choices_to_come(establishment: Establishment, day: date) -> QuerySet[PackChoice]:
    """What was chosen for later days."""
    return PackChoice.objects.filter(establishment=establishment, from_day__gt=day).select_related("by")


def rule_called(code: str, day: date) -> Layer | None:
    """A rule by its code, of whatever jurisdiction: in the edition of a day, else in the newest there is."""
    known = [Layer(pack, rule) for pack in packs_on_file() for rule in pack.rules if rule.code == code]
    return max(known, key=lambda one: (one.pack.covers(day), one.pack.since), default=None)


def packs_chosen(establishment: Establishment) -> list[Pack]:
    """Every edition of the federal baseline and of whatever this shop has ever chosen beside it."""
    ids = {FEDERAL}
    for one in PackChoice.objects.filter(establishment=establishment):
        ids |= {state_pack(one.state), *one.local_ids}
    return [pack for pack in packs_on_file() if pack.id in ids]


def rules_asked(establishment: Establishment, day: date) -> JobRules:
    """The rules of a day: federal, the chosen state's, the chosen local ones."""
    return _rules(PackChoice.objects.on(establishment, day), day)


def _rules(choice: PackChoice | None, day: date) -> JobRules:
    if choice is None:
        return JobRules(stack(packs_on_file(), [FEDERAL], day))
    own = state_pack(choice.state)
    chosen = [FEDERAL, *([own] if own else []), *choice.local_ids]
    place = None
    if not own:
        nobody = Place(choice.state, STATES.get(choice.state, choice.state), None)
        place = places_looked_at().get(choice.state, nobody)
    return JobRules(stack(packs_on_file(), chosen, day), choice.state, place)


def job_rules(sheet: Sheet) -> JobRules:
    """What is asked of a job: the packs of its day that speak of its refrigerant and its kind of vehicle."""
    rules = _rules(sheet.pack_choice, sheet.job.on)
    mine = rules.asked.for_car(sheet.refrigerant, sheet.check_in.unit_kind)
    if not hasattr(sheet.check_in.stage, "retrofit"):
        mine = mine.without(lambda one: one.rule.text("when") == RETROFIT)
    return JobRules(mine, rules.state, rules.place)


def answers_given(sheet: Sheet) -> dict[str, dict[str, PackAnswer]]:
    """What was answered to each rule of a pack, item by item; the newest answer holds."""
    given: dict[str, dict[str, PackAnswer]] = {}
    for one in PackAnswer.objects.filter(job=sheet.job):
        given.setdefault(one.code, {})[one.item] = one
    return given


def pack_answers(sheet: Sheet) -> dict[str, dict[str, str]]:
    """The same as the bare words of the answers."""
    given = answers_given(sheet)
    return {code: {item: one.answer for item, one in items.items()} for code, items in given.items()}


def keep_until(establishment: Establishment, record: str, day: date) -> Kept:
    """For how many years a record of this kind is kept at least, and who asks for the longest time."""
    years = int(rules_on(establishment, day).keep_years)
    return rules_asked(establishment, day).asked.keep(record, years)


def kept_for(establishment: Establishment, day: date) -> list[tuple[str, Kept]]:
    """Every kind of record with the longest time that anybody asks for."""
    years, asked = int(rules_on(establishment, day).keep_years), rules_asked(establishment, day).asked
    return [(record, asked.keep(record, years)) for record in RECORDS]


def asked_facts(sheet: Sheet, rules: JobRules) -> tuple[AskedFacts, ...]:
    """The lists and sayings of a job that were answered, and every label asked for, as its certificate keeps them."""
    given = answers_given(sheet)
    return tuple(
        AskedFacts(str(TITLES[layer.rule.kind]), str(layer.asked_by), str(layer.written_in), answers)
        for layer in rules.answered
        if (answers := tuple(_answers(sheet, layer, given.get(layer.rule.code, {}))))
    )


def _answers(sheet: Sheet, layer: Layer, mine: Mapping[str, PackAnswer]) -> Iterator[tuple[str, str, str]]:
    """Item, answer and why. A label that is known from memory alone is asked about and stands on no paper."""
    if layer.labels_the_car and layer.rule.status is Status.MEMORY:
        return
    if layer.labels_the_car:
        yield str(LABEL_ASKED), layer.rule.sentence, ""
        if not mine:
            yield str(items_of(layer)[0]), str(SEEN if sheet.check_in.stage.retrofit.labelled else UNSEEN), ""
    yield from ((str(item), mine[item].answer, mine[item].reason) for item in items_of(layer) if item in mine)
