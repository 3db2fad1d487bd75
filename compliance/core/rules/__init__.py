"""The closing rules and the one function that runs them."""

from compliance.core.rules.closing import CLOSING_RULES, Rule, closing_findings

__all__ = ["CLOSING_RULES", "Rule", "closing_findings"]
