"""The closing rules, the rule packs' gates, and the functions that run them."""

from compliance.core.rules.closing import CLOSING_RULES, Rule, closing_findings
from compliance.core.rules.packs import pack_findings

__all__ = ["CLOSING_RULES", "Rule", "closing_findings", "pack_findings"]
