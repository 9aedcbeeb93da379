"""Spaces to pick from are kept for the next pick, a few of them and small ones."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rhythms.bench.bench_picking import case
from rhythms.bench.bench_watchers import FIVE, sextuplets
from rhythms.engine import FillSpace, Kit, RuleSet
from rhythms.engine.picking import pick
from rhythms.engine.picking import pick_space as kept_spaces
from rhythms.engine.picking.pick_space import KEPT, PickSpace, pick_space
from rhythms.engine.prior.human_prior import human_prior
from tests.engine.space.test_fill_space import placement, space_of

HUMAN = human_prior()


@pytest.fixture
def made(monkeypatch) -> list[PickSpace]:
    """The spaces that are made, with none kept before."""
    found = []

    class Counted(PickSpace):
        def __init__(self, *args) -> None:
            super().__init__(*args)
            found.append(self)

    monkeypatch.setattr(kept_spaces, "PickSpace", Counted)
    kept_spaces._kept.clear()
    yield found
    kept_spaces._kept.clear()


def test_the_next_picks_under_the_same_rules_are_from_the_same_space(made):
    for seed in range(3):
        pick(case(0), 4, case(0).sample(seed, 1), 60, seed)
    assert len(made) == 1


def test_picks_are_the_same_where_the_space_was_kept(made):
    first = pick(case(6), 4, (), 60, "a")
    pick(case(6), 4, case(6).sample(5, 1), 60, "b", 1.0)
    assert pick(case(6), 4, (), 60, "a") == first
    assert len(made) == 1


@pytest.mark.parametrize("other", ["tempo", "rules", "prior"])
def test_another_tempo_other_rules_or_another_prior_make_another_space(made, other):
    pick_space(case(0), HUMAN, 60)
    tempo, space = (90 if other == "tempo" else 60), case(5 if other == "rules" else 0)
    pick_space(space, replace(HUMAN) if other == "prior" else HUMAN, tempo)
    assert len(made) == 2


def test_only_the_last_few_are_kept(made):
    for tempo in range(60, 61 + KEPT):
        pick_space(case(0), HUMAN, tempo)
    assert len(kept_spaces._kept) == KEPT
    pick_space(case(0), HUMAN, 60 + KEPT)
    assert len(made) == KEPT + 1
    pick_space(case(0), HUMAN, 60)
    assert len(made) == KEPT + 2


def test_a_large_space_is_not_kept(made):
    pick_space(FillSpace(sextuplets(8), RuleSet.from_json(FIVE), Kit.standard()), HUMAN, 60)
    assert len(made) == 1
    assert not kept_spaces._kept


def test_a_space_without_fills_is_not_made(made):
    assert pick_space(space_of(placement(["splash"])), HUMAN, 60) is None
    assert not made
