"""What no page, sentence, pack or paper of ours may say, since it would misstate federal law or claim what nobody saw.

Each row stands with a sentence that it has to catch, so that a pattern which catches nothing is found.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from compliance.core.packs import Level
from compliance.core.packs.shapes import RECORDS
from compliance.core.packs.telling import details
from compliance.queries.packs import packs_on_file, places_looked_at
from compliance.services import PackChoiceIn, choose_packs
from shop.forms.cards import CardForm
from shop.models import Card
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cans_of, receive

ROOT = Path(__file__).resolve().parents[2]
APPS = ("shop", "inventory", "compliance")

# what may not be said -> (the pattern, a sentence that it catches)
NEVER = {
    "a 609 card ends (40 CFR 82.40 knows no end)": (
        r"\b(card|certificate|certification)s?\b[^.]{0,20}\b(expire[sd]?|lapse[sd]?|is out of date|ran out)"
        r"|expired? (609|card|cert)",
        "609 certificate expired.",
    ),
    "a federal limit in grams on what a job loses (82.154(a)(2) has none)": (
        r"\b(EPA|federal|legal) (limit|allowance|maximum)\b[^.]{0,30}\b(g|grams|lost|loss|job|released)\b",
        "EPA limit of 15 grams lost per job.",
    ),
    "federal law wants a leak repaired before a charge (no such rule for cars)": (
        r"\b(EPA|federal law|law)\b[^.]{0,40}\bleaks?\b[^.]{0,30}\b(fixed|repaired|repair)"
        r"|leaks? must be (fixed|repaired)",
        "Leak must be fixed before charging.",
    ),
    "a sign for cans of R-134a (82.42(c) is for class I and II)": (
        r"\bsigns? (is |are )?(required|needed|must)|\b(post|display|hang) (up )?(a|the) sign\b",
        "Sign required for 134a cans.",
    ),
    "sellers write down who buys a small can (82.154(c)(3)(i) exempts them)": (
        r"\bsellers? (must|has to|have to|needs? to) (record|write|keep|note)",
        "Seller must record small-can buyers.",
    ),
    "a refrigerant of cars may be let go (82.154(a)(1))": (
        r"(1234yf|134a|152a|refrigerant)\b[^.]{0,20} (may|can) be (vented|released|let)",
        "R-1234yf may be vented.",
    ),
    "work on CO2 needs no card (82.32(f) makes it a refrigerant)": (
        r"\b(CO2|R-744)\b[^.]{0,30}\b(no|without a) (609 )?(card|certificat)",
        "CO2 needs no certificate.",
    ),
    "a 608 card alone serves cars (82.34(a)(3) is for off-road machines)": (
        r"\b608\b[^.]{0,20}\b(enough|suffices|will do)",
        "608 alone is enough for cars.",
    ),
    "recovered refrigerant goes straight back (82.32(e), 82.156(h))": (
        r"\b(may|can) go (straight|right|directly) back",
        "Recovered gas may go straight back to the same car.",
    ),
    "the EPA approves, requires or certifies what we print": (
        r"\bEPA[- ](approved|certified|requires?|required|compliant|registered|accepted)\b"
        r"|\b(approved|certified|required) by (the )?EPA\b",
        "An EPA-approved report.",
    ),
    "something complies or is guaranteed": (
        r"\b(compliant|compliance with|complies with|in full compliance|guarantee[sd]?)\b",
        "This job is compliant.",
    ),
    "a car does not leak": (
        r"leak[- ]?free|\bno leaks?\b(?! (seen|check|checks|rate|was|can be found|test))|free of leaks",
        "The system has no leaks.",
    ),
    "a report or a book is asked for by law (no federal rule asks for either)": (
        r"\b(required by (federal )?law|legally required|mandatory|by law you must)\b",
        "A usage report is required by law.",
    ),
    "R-1234yf is a regulated HFC (42 USC 7675(c))": (
        r"1234yf\b[^.]{0,30}\b(is|as) (a|an) (regulated )?HFC",
        "R-1234yf is a regulated HFC.",
    ),
    "money is charged (a charge is refrigerant put into a car)": (
        r"\b(charge|charged|charges) (of )?(\$|USD|dollars|the customer)",
        "We charged the customer for labour.",
    ),
}
rows = pytest.mark.parametrize("what", NEVER)


def found(what: str, text: str) -> list[str]:
    return [hit[0] for hit in re.finditer(NEVER[what][0], text, re.IGNORECASE)]


@rows
def test_each_pattern_catches_the_sentence_that_it_is_for(what: str) -> None:
    assert found(what, NEVER[what][1]), NEVER[what][1]


@cache
def templates() -> tuple[tuple[str, str], ...]:
    """The words of every template, without tags."""
    paths = [path for app in APPS for path in (ROOT / app).rglob("*.html")]
    return tuple((path.name, _words(path.read_text("utf-8"))) for path in sorted(paths))


def _words(source: str) -> str:
    said = re.sub(r"\{%-?\s*(?:blocktranslate|translate)\b", " ", source)
    return " ".join(unescape(re.sub(r"<[^>]+>|\{\{.*?\}\}|\{#.*?#\}", " ", said)).split())


@cache
def sentences() -> tuple[tuple[str, str], ...]:
    """Every text in our Python that a person could read: all but docstrings and single words."""
    paths = [path for app in APPS for path in (ROOT / app).rglob("*.py") if "migrations" not in path.parts]
    return tuple((path.name, text) for path in sorted(paths) for text in _texts(path))


def _texts(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text("utf-8"))
    own = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, own) and node.body and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) and id(node) not in docs else None
        if isinstance(text, str) and " " in text.strip():
            yield text


@cache
def catalogue() -> tuple[tuple[str, str], ...]:
    """The sentences marked for translation, as the catalogue holds them."""
    text = (ROOT / "locale/es/LC_MESSAGES/django.po").read_text("utf-8")
    return tuple(("django.po", one) for one in re.findall(r'^msgid "(.+)"$', text, re.MULTILINE))


@cache
def packs() -> tuple[tuple[str, str], ...]:
    """What the packs and the list of states without one say."""
    said = [(pack.key, pack.note) for pack in packs_on_file()]
    said += [(place.code, place.note) for place in places_looked_at().values()]
    for pack in packs_on_file():
        for rule in pack.rules:
            said += [(rule.code, text) for text in (rule.sentence, *(value for _, value in details(rule)))]
    return tuple(said)


@rows
@pytest.mark.parametrize("source", [templates, sentences, catalogue, packs], ids=lambda one: one.__name__)
def test_nothing_that_people_read_says_it(what: str, source: object) -> None:
    texts: tuple[tuple[str, str], ...] = source()  # type: ignore[operator]
    assert len(texts) > 50
    assert [(where, hit) for where, text in texts for hit in found(what, text)] == []


@pytest.fixture
def drawn(shop: Shop) -> dict[str, str]:
    """A charged and a stopped job's certificate in California with the Bay Area, as they are printed."""
    choice = PackChoiceIn("CA", ("us-ca-bay",), DAY)
    choose_packs(shop.establishment, choice, today=DAY, at=NOON, by=shop.marta)
    cans = cans_of(receive(shop))
    stopped = Bay.check_in(shop, plate="SMP-300")
    stopped.recover()
    closings = {"stopped": stopped.close(stopped="leak found", state_now="empty", choice="declined")}
    again = Bay.check_in(shop)
    again.up_to_charge_again()
    again.draw(cans[0], "466", "128", emptied=True)
    again.draw(cans[1], "464", "293")
    again.keep_charge()
    again.finals()
    closings["charged"] = again.close()
    return {
        name: " ".join(
            " ".join(page.extract_text().split())
            for page in PdfReader(BytesIO(closing.certificates.get().document.pdf)).pages
        )
        for name, closing in closings.items()
    }


def test_no_certificate_says_any_of_it_and_both_name_their_rules(drawn: dict[str, str]) -> None:
    for name, text in drawn.items():
        assert "Rules looked at: federal baseline 2026-11, California 2024-12" in text, name
        assert [hit for what in NEVER for hit in found(what, text)] == [], name


def test_a_card_has_no_field_for_a_last_day() -> None:
    names = {field.name for field in Card._meta.get_fields()} | set(CardForm.base_fields)
    assert [name for name in names if "expir" in name or name in ("until", "valid_to", "ends_on")] == []


def test_no_federal_rule_speaks_of_leaks_or_of_the_book_and_the_papers_of_a_job() -> None:
    """Federal law asks for no leak repair in cars, no ledger, no certificate and no usage report."""
    federal = [rule for pack in packs_on_file() if pack.level is Level.FEDERAL for rule in pack.rules]
    assert [rule.code for rule in federal if rule.text("needs").startswith("leak")] == []
    kept = {record for rule in federal for record in rule.texts("records")}
    assert kept < set(RECORDS)
    assert not kept & {"job papers", "can purchases", "can sales"}
