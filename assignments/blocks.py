"""The block of groove in which a student plays a fill."""

from typing import Any, NamedTuple

from assignments.models import AssignedVariation, Assignment
from rhythms.engine import Bar, Kit, Meter
from rhythms.engine.playback.groove import Groove, groove_of_bar
from rhythms.engine.playback.groove_library import groove_named, grooves_for
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json

#: How often a block is played through, by common practice.
LOOPS = 4


class GrooveChoice(NamedTuple):
    """A groove as a teacher chooses it: by name; `counts` where it is a bar of theirs.

    Without a name it is the first of the meter.
    """

    name: str = ""
    counts: str = ""

    def in_meter(self, meter: Meter) -> Groove:
        """Return the groove. Raises EngineError where it is in another meter."""
        if self.counts:
            return groove_of_bar(Bar.from_counts(self.counts, meter), self.name)
        return groove_named(self.name, meter) if self.name else grooves_for(meter)[0]


FIRST_OF_THE_METER = GrooveChoice()


def groove_of(assignment: Assignment, meter: Meter) -> Groove:
    """Return the groove that the teacher chose, or the first of the meter."""
    return GrooveChoice(assignment.groove, assignment.groove_counts).in_meter(meter)


def block_of(variation: AssignedVariation) -> Block:
    """Return groove, fill and landing on the kit that the fill was drawn for."""
    assignment, fill = variation.assignment, variation.as_fill
    groove = groove_of(assignment, fill.bar.meter.one_bar)
    surfaces = Kit.from_json(assignment.kit).surfaces
    return Block(fill, groove, assignment.block_bars, surfaces, assignment.feel)


def playable(variation: AssignedVariation) -> dict[str, Any]:
    """Return what the page's player loads: the block (see `block_json`), `tempo` and `loops`."""
    tempo = variation.assignment.tempo
    return block_json(block_of(variation)) | {"tempo": tempo, "loops": LOOPS}
