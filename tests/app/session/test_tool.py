"""What a click applies, as one word."""

from __future__ import annotations

import pytest

from pvsim.app.session.tool import Condition, parse_condition
from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.errors import ScenarioError


@pytest.mark.parametrize(
    ("text", "condition"),
    [
        ("shade:0.2", Condition("shade", 0.2)),
        ("shade:1", Condition("shade", 1.0)),
        ("mend", Condition("mend")),
        ("cell-open", Condition("cell-open")),
        ("cell-cracked:0.5", Condition("cell-cracked", 0.5)),
    ],
)
def test_a_condition_is_read(text: str, condition: Condition) -> None:
    assert parse_condition(text) == condition


@pytest.mark.parametrize("kind", FAULT_KINDS)
def test_every_kind_of_fault_is_a_condition(kind: str) -> None:
    assert parse_condition(kind) == Condition(kind)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "no condition"),
        ("shade", "cannot be"),
        ("shade:1.5", "cannot be"),
        ("shade:nan", "cannot be"),
        ("shade:dark", "not a number"),
        ("cell-opne", "cell-open"),  # the nearest known one
        ("cell-cracked:2", "cannot be"),
        ("mend:1", "no condition"),
        ("x" * 5000, "no condition"),
    ],
)
def test_what_is_no_condition_is_refused_with_its_reason(text: str, reason: str) -> None:
    with pytest.raises(ScenarioError, match=reason) as refused:
        parse_condition(text)
    assert len(str(refused.value)) < 1000
