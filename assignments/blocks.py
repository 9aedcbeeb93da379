"""The block of groove in which a student plays a fill."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, NamedTuple

from assignments.models import AssignedVariation, Assignment
from rhythms.engine import Bar, Fill, Meter
from rhythms.engine.errors import BarError
from rhythms.engine.playback.groove import Groove, GrooveError, groove_of_bar
from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import groove_named, grooves_for, usual_grooves
from rhythms.engine.playback.groove_names import groove_name_on
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.engine.playback.timeline import Block
from rhythms.grooves.groove_list import ListedGroove
from rhythms.notation.player import block_json, fill_json

#: How often a block is played through, by common practice.
LOOPS = 4


class GrooveChoice(NamedTuple):
    """A groove as a teacher chooses it: by name; `counts` where it is a bar of theirs.

    `kept` where it is a groove of theirs, as JSON. Without a name it is the first of the meter.
    """

    name: str = ""
    counts: str = ""
    kept: dict[str, Any] | None = None

    @classmethod
    def of(cls, listed: ListedGroove) -> "GrooveChoice":
        """One of the library by its name, one of the studio's own as it is now."""
        name = listed.pattern.name
        return cls(name) if listed.pk is None else cls(name, kept=listed.pattern.to_json())

    def in_meter(self, meter: Meter) -> Groove:
        """Return the groove. Raises EngineError where it is in another meter."""
        if self.kept:
            return _kept_groove(self.kept, meter)
        if self.counts:
            return groove_of_bar(Bar.from_counts(self.counts, meter), self.name)
        return groove_named(self.name, meter) if self.name else grooves_for(meter)[0]


def _kept_groove(kept: dict[str, Any], meter: Meter) -> Groove:
    groove = GroovePattern.from_json(kept).groove
    found = groove.in_meter(meter)
    if found is None:
        raise GrooveError(f"“{groove.name}” is in {groove.meter}, not in {meter}.")
    return found


FIRST_OF_THE_METER = GrooveChoice()


def groove_of(assignment: Assignment, meter: Meter) -> Groove:
    """Return the groove that the teacher chose, or the first of the meter."""
    kept = assignment.groove_kept
    return GrooveChoice(assignment.groove, assignment.groove_counts, kept).in_meter(meter)


class WrittenGroove(NamedTuple):
    """A groove to be read: its name, and as strokes its bars and the one that leads into the fill.

    Without bars, `why_not` says why they cannot be engraved.
    """

    name: str
    bars: tuple[Fill, ...]
    why_not: str = ""


def groove_written(assignment: Assignment, meter: Meter) -> WrittenGroove:
    """Return the groove as it is read on the kit that the fills were drawn for."""
    groove = _on_kit(groove_of(assignment, meter), assignment)
    if not groove.hits:
        return WrittenGroove(groove.name, (), "Your kit has nothing of this groove: it is silent.")
    try:
        fills = groove_fills(groove)
    except BarError as error:
        return WrittenGroove(groove.name, (), f"This groove cannot be engraved. {error}")
    return WrittenGroove(groove.name, fills if assignment.sets_up else fills[:1])


def _on_kit(groove: Groove, assignment: Assignment) -> Groove:
    """The groove as the student has it, called by nothing that their kit lacks."""
    surfaces = assignment.drawn_for.surfaces
    return replace(groove.on(surfaces), name=groove_name_on(groove.name, surfaces))


def block_of(variation: AssignedVariation) -> Block:
    """Return groove, fill and landing on the kit that the fill was drawn for."""
    assignment, fill = variation.assignment, variation.as_fill
    groove = _on_kit(groove_of(assignment, fill.bar.meter.one_bar), assignment)
    surfaces = assignment.drawn_for.surfaces
    bars, feel = assignment.block_bars, assignment.feel
    return Block(fill, groove, bars, surfaces, feel, sets_up=assignment.sets_up)


def playable(variation: AssignedVariation, others: Iterable[Groove] = ()) -> dict[str, Any]:
    """Return what the page's player loads: the block (see `block_json`), `tempo` and `loops`.

    `others` are the student's grooves, or else the usual ones; those in its meter that are named
    by nothing their kit lacks can be changed to.
    """
    block, tempo = block_of(variation), variation.assignment.tempo
    fitting = [groove.in_meter(block.meter) for groove in others]
    offered = [groove for groove in fitting if groove] or usual_grooves(block.meter)
    on_kit = [one for one in offered if groove_name_on(one.name, block.surfaces) == one.name]
    return block_json(block, on_kit or [block.groove]) | {
        "tempo": tempo,
        "loops": LOOPS,
    }


def heard_json(variation: AssignedVariation) -> dict[str, Any]:
    """Return the fill alone as the player takes it (see `fill_json`), and the `tempo` asked for."""
    assignment = variation.assignment
    return fill_json(variation.as_fill, assignment.feel) | {"tempo": assignment.tempo}
