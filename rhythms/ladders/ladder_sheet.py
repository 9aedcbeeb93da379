"""A whole ladder of one bar on paper: some fills of each step."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from rhythms import engine
from rhythms.engine import Fill, FillSpace
from rhythms.engine.errors import EngineError
from rhythms.engine.fills.hands import StickingStyle, stuck
from rhythms.engine.picking import pick
from rhythms.engine.space.conflict import conflict_in_words
from rhythms.fill_spaces import engine_kit, space_for
from rhythms.models import Ladder, LadderStep, SourceBar
from rhythms.notation.practice_text import HANDS_PROPOSED
from rhythms.notation.sheets import Exercise, Section, Sheet
from rhythms.sheets.sheet_text import TICK, Look, cautions, how_to_play
from rhythms.style.own_playing import prior_of, style_of
from studio.models import Student


@dataclass(frozen=True)
class Wanted:
    """What of a ladder is printed: so many fills `each` step, for a student or for anybody.

    `tempo` in quarters a minute, `block_bars` groove and fill together.
    """

    bar: SourceBar
    ladder: Ladder
    student: Student | None = None
    each: int = 4
    tempo: int = 80
    block_bars: int = 4

    @property
    def kit(self) -> engine.Kit:
        """The student's kit, mirrored where they are left-handed, or else a standard one."""
        return engine_kit(self.student) if self.student else engine.Kit.standard()

    @cached_property
    def sticking(self) -> StickingStyle:
        """How the studio has hands printed."""
        return StickingStyle(style_of(self.bar.studio).sticking)


def ladder_sheet(wanted: Wanted, look: Look) -> Sheet:
    """The steps in order. One without fills says why instead."""
    steps = wanted.ladder.steps.kept().select_related("rule_set")
    return Sheet(
        title=wanted.bar.name,
        lines=tuple(_lines(wanted)),
        sections=tuple(_step(wanted, number, step) for number, step in enumerate(steps, start=1)),
        cautions=cautions("practice"),
        **look._asdict(),
    )


def _lines(wanted: Wanted) -> Iterator[str]:
    yield f"Ladder: {wanted.ladder.name}."
    if wanted.bar.reference:
        yield f"From {wanted.bar.reference}."
    if student := wanted.student:
        yield f"For {student.nickname}, {student.get_handedness_display().lower()}."
    how = how_to_play(wanted.tempo, wanted.block_bars, wanted.bar.bar, wanted.kit.surfaces)
    yield f"{how} {TICK}"


def _step(wanted: Wanted, number: int, step: LadderStep) -> Section:
    space = space_for(wanted.bar, step.rule_set, wanted.kit)
    fills, reason = _fills(wanted, space)
    lines = [step.note, reason]
    if any(stroke.limb is None for fill in fills for stroke in fill.strokes):
        lines.append(HANDS_PROPOSED[wanted.sticking])
    exercises = tuple(
        Exercise(f"Fill {place}", stuck(fill, wanted.kit, wanted.tempo, wanted.sticking))
        for place, fill in enumerate(fills, start=1)
    )
    remarks = tuple(line for line in lines if line)
    # The rules as this player reads them: mirrored for the left-handed.
    return Section(f"{number}. {step}", exercises, remarks, space.rule_set.sentences_on(wanted.kit))


def _fills(wanted: Wanted, space: FillSpace) -> tuple[list[Fill], str]:
    """The fills picked of one step, the same each time; or why there are none."""
    try:
        if not space.size:
            return [], conflict_in_words(space)
        prior = prior_of(wanted.bar.studio)
        picked = pick(space, wanted.each, (), wanted.tempo, seed=wanted.bar.counts, prior=prior)
    except EngineError as error:
        return [], error.message
    return [one.fill for one in picked], "" if picked else f"None is playable at {wanted.tempo}."
