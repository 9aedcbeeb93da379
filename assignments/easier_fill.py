"""A fill that is stuck, in the simpler form that a day's plan has for it (`planner.easier`)."""

from datetime import date

from assignments.models import AssignedVariation
from assignments.planner.easier import FEWER_DRUMS, HALF, Easier
from rhythms.engine import EngineError, Fill
from rhythms.engine.fills.hands import StickingStyle, stuck
from rhythms.fill_spaces import space_for
from rhythms.renderings.rendering_store import engraving_of, put_off

_WITH = {FEWER_DRUMS: "with fewer drums,", HALF: "by its second half,"}
_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"}


def keeps_rules(variation: AssignedVariation, fill: Fill) -> bool:
    """Whether the fill is one that the variation's rules and kit allow as well."""
    assignment = variation.assignment
    space = space_for(assignment.bar, assignment.rule_set, assignment.drawn_for)
    try:
        return fill in space
    except EngineError:
        return False


def simpler_form(variation: AssignedVariation, easier: Easier) -> AssignedVariation:
    """Return the fill as the stage plays it in its simpler form; its engraving is asked for."""
    assignment = variation.assignment
    hands = StickingStyle(assignment.sticking)
    kit, feel = assignment.drawn_for, assignment.feel
    played = stuck(easier.fill, kit, easier.tempo, hands, feel)
    [rendering] = put_off([engraving_of(played, counts=True, feel=feel)])
    return variation.in_simpler_form(easier.fill, rendering)


def to_the_teacher(nickname: str, name: str, easier: Easier, day: date) -> str:
    """``Wren has been at 72 for two weeks with 2, Hi-hat to floor tom: Today offers it with fewer
    drums, at 64.``"""
    weeks = (day - easier.since).days // 7
    lasting = f"{_NUMBERS.get(weeks, weeks)} weeks"
    how = " ".join(filter(None, [_WITH.get(easier.kind, ""), f"at {easier.tempo}"]))
    return (
        f"{nickname} has been at {easier.stands} for {lasting} with {name}: Today offers it {how}."
    )
