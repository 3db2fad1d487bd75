"""How a page and a paper name the packs of a day, and what they say where there is none."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.packs.kinds import Kind, Moment, Pack, Place, Status
from compliance.core.packs.stacking import InForce, Layer
from shop.core.days import said_day
from shop.core.phrase import joined, phrase, word

STATES = {
    "AL": "Alabama", "AK": "Alaska", "AZ": "Arizona", "AR": "Arkansas", "CA": "California", "CO": "Colorado",
    "CT": "Connecticut", "DE": "Delaware", "DC": "District of Columbia", "FL": "Florida", "GA": "Georgia",
    "HI": "Hawaii", "ID": "Idaho", "IL": "Illinois", "IN": "Indiana", "IA": "Iowa", "KS": "Kansas",
    "KY": "Kentucky", "LA": "Louisiana", "ME": "Maine", "MD": "Maryland", "MA": "Massachusetts",
    "MI": "Michigan", "MN": "Minnesota", "MS": "Mississippi", "MO": "Missouri", "MT": "Montana",
    "NE": "Nebraska", "NV": "Nevada", "NH": "New Hampshire", "NJ": "New Jersey", "NM": "New Mexico",
    "NY": "New York", "NC": "North Carolina", "ND": "North Dakota", "OH": "Ohio", "OK": "Oklahoma",
    "OR": "Oregon", "PA": "Pennsylvania", "RI": "Rhode Island", "SC": "South Carolina",
    "SD": "South Dakota", "TN": "Tennessee", "TX": "Texas", "UT": "Utah", "VT": "Vermont", "VA": "Virginia",
    "WA": "Washington", "WV": "West Virginia", "WI": "Wisconsin", "WY": "Wyoming",
}  # fmt: skip


AFTER_THE_JOB = frozenset({Moment.KEEPING, Moment.SHIPPING, Moment.RECEIVING, Moment.SELLING})


@dataclass(frozen=True, slots=True)
class JobRules:
    """The rules of one day and the state they are for. ``place`` is set where a state has no pack."""

    asked: InForce
    state: str = ""
    place: Place | None = None

    @property
    def state_said(self) -> str:
        """What is known of the state's own rules where no pack speaks of them; "" where one does."""
        if not self.state:
            return phrase("No state is chosen, so no state's rules were looked at.")
        if self.place is None:
            return ""
        if self.place.looked_on is None:
            return phrase(
                "Nobody has looked for rules of {state} yet. They may be stricter.", state=self.place.name
            )
        return phrase(
            "We looked for rules of {state} on {day} and found none; that is not proof that there is none.",
            state=self.place.name,
            day=said_day(self.place.looked_on),
        )

    @property
    def names(self) -> str:
        """The one line of a paper: "federal baseline 2026-11, Wisconsin 2026-11"."""
        told: list[str] = [
            phrase("{title} {edition}", title=word(one.title), edition=one.edition) for one in self.packs
        ]
        if not told:
            told = [phrase("none on file for that day")]
        if not self.state:
            told.append(phrase("no state chosen"))
        elif self.place is not None and self.place.looked_on is None:
            told.append(phrase("{state}: not looked for", state=self.place.name))
        elif self.place is not None:
            told.append(
                phrase(
                    "{state}: none found on {day}",
                    state=self.place.name,
                    day=self.place.looked_on.isoformat() if self.place.looked_on else "",
                )
            )
        return joined(", ", told)

    @property
    def packs(self) -> tuple[Pack, ...]:
        return self.asked.packs

    @property
    def answered(self) -> tuple[Layer, ...]:
        """The lists, sayings and labels that somebody answers on the job."""
        return self.asked.answered()

    @property
    def told(self) -> tuple[Layer, ...]:
        """What is shown beside the job and asks for no answer: lines of the invoice, labels, fields kept elsewhere."""
        shown = self.asked.of(Kind.INVOICE_LINE, Kind.LABEL, Kind.FIELD, Kind.ATTRIBUTION)
        return tuple(one for one in shown if one.rule.moment not in AFTER_THE_JOB)

    @property
    def from_memory(self) -> int:
        return sum(one.rule.status is Status.MEMORY for one in self.asked.layers)
