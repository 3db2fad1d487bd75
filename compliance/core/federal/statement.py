"""The equipment statement of 40 CFR 82.42(a)(1), read: what it says, who signs it, and where it goes."""

from __future__ import annotations

from collections.abc import Mapping

CONTENT = (
    "purchaser",
    "address",
    "maker",
    "model",
    "made",
    "serial",
)
SIGNERS = frozenset({"owner", "responsible officer"})
REGIONS: dict[int, str] = {
    1: "CT ME MA NH RI VT",
    2: "NY NJ PR VI",
    3: "DE DC MD PA VA WV",
    4: "AL FL GA KY MS NC SC TN",
    5: "IL IN MI MN OH WI",
    6: "AR LA NM OK TX",
    7: "IA KS MO NE",
    8: "CO MT ND SD UT WY",
    9: "AS AZ CA GU HI NV",
    10: "AK ID OR WA",
}


def region_of(state: str) -> int | None:
    """The EPA region that a state's statements go to; None for one that the paragraph does not list."""
    return next((number for number, states in REGIONS.items() if state in states.split()), None)


def statement_lacks(said: Mapping[str, str], signer: str) -> list[str]:
    """What is missing in a statement: one of its six contents, or a signer who may sign it."""
    empty = [name for name in CONTENT if not said.get(name, "").strip()]
    return empty if signer in SIGNERS else [*empty, "signer"]
