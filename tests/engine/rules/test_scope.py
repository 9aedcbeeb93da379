"""Which notes a rule speaks of: finer values, and places as they are counted."""

from __future__ import annotations

import pytest

from rhythms.engine import Bar, Kit, RuleSet
from rhythms.engine.rules.scope import Scope
from rhythms.engine.rules.setting import Setting


@pytest.mark.parametrize(
    ("counts", "notes"),
    [(["1 ta"], [1]), (["1 e ta", "1 a ta"], [3, 7]), (["2 ka", "2 ti"], [9, 12])],
)
def test_a_scope_names_32nds_and_parts_of_five_as_they_are_counted(counts, notes):
    bar = Bar.from_counts("1 ta e ta & ta a ta 2 ka di mi ti", "2/4")
    (rule,) = RuleSet.from_json(
        [{"rule": "placement", "surfaces": ["snare"], "counts": counts}]
    ).rules
    setting = Setting(bar, Kit.standard())
    assert [index for index, inside in enumerate(rule.scope.members(setting)) if inside] == notes


@pytest.mark.parametrize(
    ("value", "number"), [("32nd", 8), ("16th quintuplet", 3), ("eighth quintuplet", 1)]
)
def test_a_scope_may_name_the_finer_values(value, number):
    bar = Bar.from_counts("1 ta e ta & ta a ta 2 ka di ti", "2/4")
    scope = Scope.from_json({"values": [value]})
    assert sum(scope.members(Setting(bar, Kit.standard()))) == number
