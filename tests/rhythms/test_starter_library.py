"""What a new studio starts with."""

import pytest

from rhythms.engine import FillSpace, Kit, RuleSet
from rhythms.fill_spaces import space_for
from rhythms.models import SourceBar
from rhythms.starter_library import BARS, STEPS

pytestmark = pytest.mark.django_db
MAIN_BAR = "1 & 2 e & a 3 & 4 e & a"


@pytest.fixture
def steps(studio):
    return [step.rule_set for step in studio.ladders.get().steps.kept()]


def test_a_new_studio_has_at_least_twelve_bars(studio):
    assert studio.bars.count() >= 12


def test_its_ladder_has_the_five_steps_in_order(steps):
    assert [rule_set.name for rule_set in steps] == [name for name, _, _ in STEPS]


@pytest.mark.parametrize(("name", "meter", "counts"), BARS, ids=[bar[0] for bar in BARS])
def test_a_seeded_bar_is_written_as_it_is_kept(name, meter, counts):
    bar = SourceBar(name=name, meter=meter, counts=counts)
    bar.clean()
    assert bar.counts == counts


@pytest.mark.parametrize("step", STEPS, ids=[step[0] for step in STEPS])
@pytest.mark.parametrize("bar", BARS, ids=[bar[0] for bar in BARS])
def test_every_seeded_bar_has_fills_on_every_step(bar, step):
    _, meter, counts = bar
    rule_set = RuleSet.from_json(step[2])
    assert FillSpace(SourceBar(meter=meter, counts=counts).bar, rule_set, Kit.standard()).size > 0


def test_the_bars_go_from_quarters_to_16th_triplets(studio):
    values = {note.value for bar in studio.bars.all() for note in bar.bar.notes}
    assert {"quarter", "eighth", "16th", "dotted eighth", "eighth triplet"} < values
    assert "16th triplet" in values


def test_the_bars_are_in_several_meters(studio):
    assert {"4/4", "3/4", "6/8"} <= set(studio.bars.values_list("meter", flat=True))


def test_a_rule_set_is_kept_as_the_engine_prints_it(steps):
    assert all(rule_set.rule_set.to_json() == rule_set.rules for rule_set in steps)


@pytest.mark.parametrize(("step", "size"), [(1, 1), (2, 8**8), (3, 7**4), (4, 1), (5, 8**8)])
def test_the_sizes_that_the_method_gives_for_the_main_bar(studio, steps, step, size):
    """Counted by hand: four eighths, eight 16ths; 8 hand surfaces, 7 of them off the snare."""
    bar = studio.bars.get(counts=MAIN_BAR)
    assert space_for(bar, steps[step - 1], studio.kits.get()).size == size


def test_seeding_belongs_to_one_studio(studio, other_studio):
    assert studio.bars.count() == other_studio.bars.count() == len(BARS)
