"""The simulation of students who play by habit."""

from io import StringIO

import numpy as np
import pytest
from django.core.management import call_command

from rhythms.bench import habit
from rhythms.bench.habit import PICKS, RANDOM, Outcome, mean_of, outcome
from tests.thoroughness import amount

#: Quick learners: what is given shows sooner than chance.
LEARNER, STUDENTS = "quick", range(amount(6, 3))


@pytest.fixture(scope="module")
def picked() -> Outcome:
    return outcome(PICKS, LEARNER, STUDENTS)


@pytest.fixture(scope="module")
def drawn() -> Outcome:
    return outcome(RANDOM, LEARNER, STUDENTS)


def test_both_ways_begin_with_the_same_students(picked, drawn):
    assert np.array_equal(picked.weeks[:, 0], drawn.weeks[:, 0])


def test_what_is_practised_widens_what_is_played(picked):
    assert mean_of(picked.growth).value > 0


def test_picks_lead_out_of_a_habit_further_than_random_fills(picked, drawn):
    assert mean_of(picked.growth - drawn.growth).low > 0


def test_the_same_seeds_give_the_same_outcome(picked):
    again = outcome(PICKS, LEARNER, STUDENTS[: amount(2, 1)])
    assert np.array_equal(again.weeks, picked.weeks[: len(again.weeks)])


def test_a_mean_lies_in_its_interval_and_the_interval_in_the_values():
    mean = mean_of(np.array([1.0, 2.0, 2.5, 4.0]))
    assert 1 <= mean.low < mean.value == 2.375 < mean.high <= 4


def test_the_command_prints_a_table_with_seeds_and_intervals(monkeypatch):
    command = "rhythms.management.commands.comfort_simulation"
    monkeypatch.setattr(habit, "WEEKS", 1)
    monkeypatch.setattr(f"{command}.WEEKS", 1)
    monkeypatch.setattr(f"{command}.LEARNERS", {"quick": habit.LEARNERS["quick"]})
    output = StringIO()
    call_command(
        "comfort_simulation", students=2, first_seed=5, setting="a step out", stdout=output
    )
    lines = output.getvalue().splitlines()
    assert "seeds 5 to 6" in lines[0]
    assert lines[2] == "Quick learners"
    assert [line.split()[0] for line in lines[4:7]] == ["0", "1", "growth"]
    assert lines[-1].startswith("Picks add ")
