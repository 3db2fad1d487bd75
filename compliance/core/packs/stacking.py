"""Federal, state and local rules of one day, laid over each other, with the shop's own beside them.

Fields, checklists and lines come together; of two gates for the same thing the stricter one counts; of two periods of
keeping the longer one. A narrower pack may add and tighten; it takes nothing away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from compliance.core.federal.keeping import last_kept
from compliance.core.packs.kinds import Kind, Pack, PackRule, Problem, Status
from compliance.core.packs.shapes import RETROFIT, VERDICTS
from shop.core.phrase import phrase, word


@dataclass(frozen=True, slots=True)
class Layer:
    """One rule and the pack that it stands in."""

    pack: Pack
    rule: PackRule

    @property
    def asked_by(self) -> str:
        return self.pack.level.asks

    @property
    def sentence(self) -> str:
        """The rule's own sentence; one that nobody has read says so first."""
        said = word(self.rule.sentence)
        if self.rule.status is Status.MEMORY:
            return phrase("From memory, not checked: {sentence}", sentence=said)
        if self.rule.status is Status.SECONDARY:
            return phrase("Known second-hand, not read: {sentence}", sentence=said)
        return said

    @property
    def labels_the_car(self) -> bool:
        """Whether it asks for a label on the car; other labels are looked at where a can or a cylinder is."""
        return self.rule.kind is Kind.LABEL and self.rule.text("when") == RETROFIT

    @property
    def written_in(self) -> str:
        """Where it is written; and that it was not read, if so."""
        if self.rule.status is Status.READ:
            return self.rule.cite
        return phrase("{cite}, {status}", cite=self.rule.cite, status=self.rule.status.said)

    @property
    def counted_from(self) -> str:
        """From when a period of keeping runs."""
        return self.rule.text("counted_from")

    @property
    def says(self) -> str:
        """The sentence that a customer is told."""
        return word(self.rule.text("say"))

    @property
    def basis(self) -> str:
        """Who asks, where it is written, and whether that was read."""
        return phrase(
            "{asked_by}: {cite}, {status}",
            asked_by=self.asked_by,
            cite=self.rule.cite,
            status=self.rule.status.said,
        )

    @property
    def strictness(self) -> tuple[int, int]:
        """By severity; of equals the wider level, since a federal paragraph is named before a county's."""
        return self.rule.severity.rank, -self.pack.level.rank


@dataclass(frozen=True, slots=True)
class Kept:
    """How long a kind of record is kept; no ``layer``: the shop's own rule asks for the longest time."""

    years: int
    layer: Layer | None

    def last_day(self, anchor: date) -> date:
        """The last day on which a record of that day, or of an authorisation that ended then, has to be there."""
        return last_kept(anchor, self.years)


@dataclass(frozen=True, slots=True)
class InForce:
    """What stands on one day. ``missing`` names the chosen packs that have no edition for it."""

    day: date
    packs: tuple[Pack, ...]
    missing: tuple[str, ...]
    layers: tuple[Layer, ...]

    def of(self, *kinds: Kind) -> tuple[Layer, ...]:
        return tuple(one for one in self.layers if one.rule.kind in kinds)

    def answered(self, *, by_office: bool = False) -> tuple[Layer, ...]:
        """What somebody answers on the job: lists, sayings, the label of a changed car. The front office says things
        to customers, no more."""
        if by_office:
            return self.of(Kind.DISCLOSURE)
        lists = self.of(Kind.CHECKLIST, Kind.DISCLOSURE)
        return (*lists, *(one for one in self.layers if one.labels_the_car))

    def for_car(self, refrigerant: str, unit_kind: str) -> InForce:
        """Those that speak of this refrigerant and this kind of vehicle."""
        return self.without(
            lambda one: (
                bool(one.rule.refrigerants and refrigerant not in one.rule.refrigerants)
                or bool(one.rule.vehicles and unit_kind not in one.rule.vehicles)
            )
        )

    def without(self, beside: Callable[[Layer], bool]) -> InForce:
        """The same without the rules that are beside the point."""
        return replace(self, layers=tuple(one for one in self.layers if not beside(one)))

    def gates(self) -> tuple[Layer, ...]:
        """One gate for each thing that is needed: the strictest of those who ask for it."""
        strictest: dict[str, Layer] = {}
        for one in self.of(Kind.GATE):
            needs = one.rule.text("needs")
            if needs == "conduct":
                continue
            if needs not in strictest or one.strictness > strictest[needs].strictness:
                strictest[needs] = one
        return tuple(strictest.values())

    def fields(self) -> tuple[str, ...]:
        """The records and what they hold, of all layers together, each once."""
        return tuple(dict.fromkeys(one.rule.text("record") for one in self.of(Kind.FIELD, Kind.CHECKLIST)))

    def keep(self, record: str, shop_years: int) -> Kept:
        """The longest time that anybody asks for; when the shop asks for no more than the law, the law is named."""
        kept = Kept(shop_years, None)
        for one in self.of(Kind.RETENTION):
            if record in one.rule.texts("records") and _longer(one, kept):
                kept = Kept(one.rule.number("years"), one)
        return kept

    def supply(self, net_g: Decimal) -> Layer | None:
        """The strictest word on taking in a container of this size; None when no pack speaks of it."""
        words = [one for one in self.of(Kind.SUPPLY) if _speaks_of(one.rule, net_g)]
        return max(
            words, key=lambda one: (VERDICTS.index(one.rule.text("verdict")), one.strictness), default=None
        )

    def names(self) -> tuple[str, ...]:
        return tuple(pack.name for pack in self.packs)

    def signed(self) -> dict[str, object]:
        """What a closing keeps: which editions with the hash of their text, and the rules that held."""
        return {
            "packs": [[pack.key, pack.sha256] for pack in self.packs],
            "missing": list(self.missing),
            "rules": sorted(one.rule.code for one in self.layers),
        }


def stack(on_file: Iterable[Pack], chosen: Sequence[str], day: date) -> InForce:
    """The editions of the chosen packs for a day, widest first, and the rules in them that held on it."""
    editions = [pack for pack in on_file if pack.id in chosen and pack.covers(day)]
    newest: dict[str, Pack] = {}
    for pack in sorted(editions, key=lambda one: one.since):
        newest[pack.id] = pack
    packs = sorted(newest.values(), key=lambda one: (one.level.rank, one.id))
    layers = [Layer(pack, rule) for pack in packs for rule in pack.rules if rule.holds(day)]
    tightened = {one.rule.tightens for one in layers}
    return InForce(
        day,
        tuple(packs),
        tuple(one for one in dict.fromkeys(chosen) if one not in newest),
        tuple(one for one in layers if one.rule.code not in tightened),
    )


def loosened(pack: Pack, wider: Iterable[Pack]) -> list[Problem]:
    """Where a pack asks for less than the rule it says it tightens, or narrows a pack that is not there."""
    above = [one for one in wider if one.level.rank < pack.level.rank]
    parents = {rule.code: rule for one in above for rule in one.rules}
    found = []
    if pack.parent and pack.parent not in {one.id for one in above}:
        found.append(Problem(pack.parent_line, f'there is no wider pack "{pack.parent}" on file'))
    for rule in pack.rules:
        if rule.tightens and (why := _milder(rule, parents.get(rule.tightens))):
            found.append(Problem(rule.line, f'"{rule.code}" says it tightens "{rule.tightens}", but {why}'))
    return found


def _milder(child: PackRule, parent: PackRule | None) -> str:
    if parent is None:
        return "no wider pack has that rule"
    if child.kind is not parent.kind:
        return f"that is a {parent.kind}, not a {child.kind}"
    if child.severity.rank < parent.severity.rank:
        return f"it only {child.severity}, where that one {parent.severity}"
    if child.number("years") < parent.number("years"):
        return f"it asks for {child.number('years')} years, where that one asks for {parent.number('years')}"
    if child.kind is Kind.SUPPLY and _word(child) < _word(parent):
        return f'it says "{child.text("verdict")}", where that one says "{parent.text("verdict")}"'
    for name, mine, theirs in (
        ("refrigerants", child.refrigerants, parent.refrigerants),
        ("vehicles", child.vehicles, parent.vehicles),
    ):
        if mine and not set(theirs or ("all",)) <= set(mine):
            return f"it leaves out some {name} that the other one has"
    missing = set(parent.texts("records")) - set(child.texts("records"))
    return f"it leaves out {min(missing)}" if missing else ""


def _word(rule: PackRule) -> int:
    return VERDICTS.index(rule.text("verdict"))


def _longer(one: Layer, kept: Kept) -> bool:
    years = one.rule.number("years")
    return years > kept.years or (years == kept.years and kept.layer is None)


def _speaks_of(rule: PackRule, net_g: Decimal) -> bool:
    least, most = rule.grams("more_than_g"), rule.grams("up_to_g")
    return (least is None or net_g > least) and (most is None or net_g <= most)
