"""From the text of a pack to the pack, or to what is wrong with it and on which line.

The parser of the standard library gives no line for a value it accepted, so a line is found again in the text: the
table's head by its place, the key inside it by its name.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from compliance.core.packs.kinds import (
    Kind,
    Level,
    Moment,
    Pack,
    PackRule,
    Parameter,
    Place,
    Problem,
    Severity,
    Status,
)
from compliance.core.packs.shapes import PACK, PARAMS, RULE, Shape
from shop.core.canonical import sha256

AT_LINE = re.compile(r"\(at line (\d+), column \d+\)|\(at end of document\)")
CODE = re.compile(r"[a-z]{2}(-[a-z0-9]+)+")
PLACE = {"code": Shape("text"), "name": Shape("text"), "looked_on": Shape("day"), "note": Shape("text")}
MOST_YEARS = 100


class BadPack(Exception):  # noqa: N818 - reads as a sentence
    """A file that is no pack, with every line that is wrong."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(str(one) for one in problems))


class Lines:
    """Where the tables and keys of a text stand."""

    def __init__(self, text: str) -> None:
        self.rows = text.splitlines()

    def head(self, table: str, place: int = 0) -> int:
        """The line of the ``place``-th head of a table, counted from 1; 1 when there is none."""
        heads = [at for at, row in enumerate(self.rows, 1) if row.strip().startswith(table)]
        return heads[place] if place < len(heads) else 1

    def key(self, head: int, name: str) -> int:
        """The line of a key under a head, before the next head; the head itself when the key is not there."""
        for at in range(head, len(self.rows)):
            row = self.rows[at].strip()
            if row.startswith("["):
                break
            if re.match(rf"{re.escape(name)}\s*=", row):
                return at + 1
        return head


def read_pack(text: str) -> Pack:
    """The pack that this text is. Raises ``BadPack`` with every problem found."""
    said, lines = _parsed(text), Lines(text)
    problems = [
        Problem(lines.head(f"[{name}") or 1, f'there is no table "{name}" in a pack')
        for name in said
        if name not in ("pack", "rule")
    ]
    head, rules = said.get("pack"), said.get("rule", [])
    if not isinstance(head, dict):
        raise BadPack([*problems, Problem(1, "a pack begins with [pack]")])
    if not isinstance(rules, list) or not all(isinstance(one, dict) for one in rules):
        raise BadPack([*problems, Problem(lines.head("[rule]"), "write [[rule]], once for each rule")])
    at = lines.head("[pack]")
    problems += _wrong_keys(head, PACK, lines, at)
    problems += _wrong_days(head, lines, at)
    if head.get("level") in (Level.STATE, Level.LOCAL) and "parent" not in head:
        problems.append(Problem(at, f'a {head["level"]} pack names the pack that it narrows: "parent"'))
    seen: dict[str, int] = {}
    for place, rule in enumerate(rules):
        problems += _wrong_rule(rule, lines, lines.head("[[rule]]", place), seen)
    if problems:
        raise BadPack(sorted(problems, key=lambda one: one.line))
    read = [_rule(one, lines.head("[[rule]]", place)) for place, one in enumerate(rules)]
    return replace(_pack(head, read, text), parent_line=lines.key(at, "parent"))


def read_places(text: str) -> tuple[Place, ...]:
    """The states that were looked at and for which nothing was found."""
    said, lines = _parsed(text), Lines(text)
    rows = said.get("place", [])
    if not isinstance(rows, list) or not all(isinstance(one, dict) for one in rows):
        raise BadPack([Problem(1, "write [[place]], once for each state")])
    problems: list[Problem] = []
    for place, row in enumerate(rows):
        problems += _wrong_keys(row, PLACE, lines, lines.head("[[place]]", place))
    if problems:
        raise BadPack(problems)
    return tuple(Place(**row) for row in rows)


def _parsed(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        found = AT_LINE.search(str(wrong))
        line = int(found[1]) if found and found[1] else len(text.splitlines())
        why = AT_LINE.sub("", str(wrong)).strip()
        raise BadPack([Problem(line, f"this is not TOML: {why}")]) from wrong


def _wrong_keys(
    said: Mapping[str, Any], shapes: Mapping[str, Shape], lines: Lines, at: int
) -> Iterator[Problem]:
    for name in said:
        if name not in shapes:
            yield Problem(lines.key(at, name), f'there is no key "{name}" here')
    for name, shape in shapes.items():
        if name not in said:
            if shape.needed:
                yield Problem(at, f'"{name}" is missing')
        elif wrong := _wrong_value(name, said[name], shape):
            yield Problem(lines.key(at, name), wrong)


def _wrong_value(name: str, value: object, shape: Shape) -> str:
    """Why a value is not what its key asks for; "" when it is."""
    if not _is_a(value, shape.a):
        return f'"{name}" has to be {MEANT[shape.a]}'
    said = value if isinstance(value, list) else [value]
    odd = [str(one) for one in said if shape.of and one not in shape.of]
    if odd:
        return f'"{name}" cannot be "{odd[0]}"; it is one of: {", ".join(shape.of)}'
    return ""


MEANT = {
    "text": "a text that is not empty",
    "day": "a day, such as 2026-11-25, without quotes",
    "years": f"a whole number of years from 1 to {MOST_YEARS}",
    "grams": 'grams as a text, such as "907.18474"',
    "texts": "a list of texts",
}


def _is_a(value: object, kind: str) -> bool:
    if kind == "day":
        return isinstance(value, date) and not isinstance(value, datetime)
    if kind == "years":
        return isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_YEARS
    if kind == "texts":
        return isinstance(value, list) and bool(value) and all(isinstance(one, str) and one for one in value)
    if not isinstance(value, str) or not value.strip():
        return False
    return kind == "text" or _grams(value) is not None


def _grams(value: str) -> Decimal | None:
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() and number > 0 else None


def _wrong_days(said: Mapping[str, Any], lines: Lines, at: int) -> Iterator[Problem]:
    first, last = said.get("from"), said.get("to")
    if _is_a(first, "day") and _is_a(last, "day") and last < first:  # type: ignore[operator]
        yield Problem(lines.key(at, "to"), f"it ends on {last}, before it begins on {first}")


def _wrong_rule(rule: Any, lines: Lines, at: int, seen: dict[str, int]) -> Iterator[Problem]:
    kind = next((one for one in Kind if str(one) == rule.get("kind")), None)
    plain = {name: value for name, value in rule.items() if name not in _own(kind)}
    yield from _wrong_keys(plain, RULE, lines, at)
    yield from _wrong_days(rule, lines, at)
    if kind is not None:
        params = {name: value for name, value in rule.items() if name in _own(kind)}
        yield from _wrong_keys(params, PARAMS[kind], lines, at)
    code = rule.get("code")
    if isinstance(code, str) and not CODE.fullmatch(code):
        yield Problem(lines.key(at, "code"), f'"{code}" is no code; write small letters with dashes, us-card')
    if isinstance(code, str) and code in seen:
        yield Problem(lines.key(at, "code"), f'the code "{code}" stands on line {seen[code]} already')
    elif isinstance(code, str):
        seen[code] = lines.key(at, "code")
    yield from _unread(rule, lines, at)


def _own(kind: Kind | None) -> set[str]:
    """The keys that belong to one kind of rule; of every kind while the kind itself is unknown."""
    return set(PARAMS[kind]) if kind is not None else {name for shapes in PARAMS.values() for name in shapes}


def _unread(rule: Mapping[str, Any], lines: Lines, at: int) -> Iterator[Problem]:
    status = rule.get("status")
    if status in (Status.SECONDARY, Status.MEMORY) and rule.get("severity") == Severity.BLOCKS:
        how = "was read second-hand" if status == Status.SECONDARY else "is from memory"
        yield Problem(
            lines.key(at, "severity"),
            f"a rule whose text {how} may warn, never block; read it, or write warns",
        )
    if status == Status.READ:
        for name in ("read_at", "read_on"):
            if name not in rule:
                yield Problem(lines.key(at, "status"), f'a rule that was read says where and when: "{name}"')


def _pack(head: Mapping[str, Any], rules: list[PackRule], text: str) -> Pack:
    return Pack(
        id=head["id"],
        edition=head["edition"],
        level=Level(head["level"]),
        title=head["title"],
        since=head["from"],
        until=head.get("to"),
        read_on=head["read_on"],
        parent=head.get("parent", ""),
        note=head.get("note", ""),
        rules=tuple(rules),
        sha256=sha256(text),
    )


def _rule(said: Mapping[str, Any], line: int) -> PackRule:
    kind = next(one for one in Kind if str(one) == said["kind"])
    return PackRule(
        code=said["code"],
        kind=kind,
        sentence=said["sentence"],
        cite=said["cite"],
        status=Status(said["status"]),
        severity=Severity(said["severity"]),
        moment=Moment(said["moment"]),
        read_at=said.get("read_at", ""),
        read_on=said.get("read_on"),
        since=said.get("from"),
        until=said.get("to"),
        refrigerants=tuple(said.get("refrigerants", ())),
        vehicles=tuple(said.get("vehicles", ())),
        tightens=said.get("tightens", ""),
        params={name: _parameter(said[name], shape) for name, shape in PARAMS[kind].items() if name in said},
        line=line,
    )


def _parameter(value: Any, shape: Shape) -> Parameter:
    if shape.a == "texts":
        return tuple(value)
    return Decimal(value) if shape.a == "grams" else value
