"""What rules say, and a service's one way to say no."""

from __future__ import annotations

import pytest

from shop.core.findings import Refused, blocked, noted, refuse_if_blocked, warned

BLOCK = blocked("can-gained", "A can cannot gain.", "reading")
WARNING = warned("sealed-light", "Weigh it again.", "reading")
NOTE = noted("frost", "Wipe it.", "reading")


def test_a_block_refuses_and_brings_every_finding_along() -> None:
    with pytest.raises(Refused, match=r"Weigh it again\. A can cannot gain\.") as refused:
        refuse_if_blocked([WARNING, BLOCK])
    assert refused.value.findings == (WARNING, BLOCK)


def test_warnings_and_notes_pass_through() -> None:
    assert refuse_if_blocked(iter([WARNING, NOTE])) == (WARNING, NOTE)
    assert refuse_if_blocked([]) == ()


def test_only_a_block_blocks() -> None:
    assert [finding.blocks for finding in (BLOCK, WARNING, NOTE)] == [True, False, False]
