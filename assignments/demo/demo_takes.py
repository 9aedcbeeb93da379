"""What the demo's students really played, as their electronic kits sent it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

from assignments.demo.backdating import EVENING, backdate, moment
from assignments.demo.diary import DiaryPiece
from assignments.demo.styles import Style
from assignments.models import AssignedVariation, KitMap, Take
from assignments.takes.take_analysis import analyse_take, seconds_of
from rhythms.engine import Fill, Meter, Surface
from rhythms.engine.bars.feel import STRAIGHT
from rhythms.engine.fills.hands import as_taught
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block
from rhythms.fill_spaces import engine_kit
from rhythms.notation.staff_placement import PLACEMENTS
from studio.models import Student

_WEEK = 7
_BLOCK = 4
#: What the demo's students play freely in.
_METER = Meter(4, 4)
#: Milliseconds before the first count, and how unsteady and how early a player is.
_LEAD, _SPREAD, _EARLY = 500.0, 9.0, 6.0
_VELOCITIES = {"ghost": 34, "normal": 76, "accent": 112}
_UNEVEN = 5
#: What kits usually send the key of another cymbal for.
_UNUSUAL = (Surface.SPLASH, Surface.CHINA)


@dataclass(frozen=True)
class DemoPlaying:
    """So many takes a week, from the first to the last of the weeks, counted from 0.

    With a `style` they are free, without one they are of assigned fills: of the first
    `favourites` ones by turns, or of any.
    """

    first: int
    last: int
    takes: int
    style: Style | None = None
    favourites: int = 0
    source: Take.Source = Take.Source.LIVE


class DemoStroke(NamedTuple):
    """What one take is made of."""

    day: date
    fill: Fill
    variation: AssignedVariation | None
    tempo: int


class Recorder:
    """Takes of a student, day by day. The same arguments give the same takes."""

    def __init__(self, student: Student, lessons: Sequence[date], today: date) -> None:
        self.student = student
        self.kit = engine_kit(student)
        self.lessons = lessons
        self.today = today
        self._random = Random(f"takes of {student.nickname}")  # noqa: S311 - on purpose

    def show_the_kit(self) -> None:
        """Hit once what most kits send otherwise than this one does."""
        keys = {
            str(PLACEMENTS[surface].key): str(surface)
            for surface in _UNUSUAL
            if surface in self.kit.surfaces
        }
        if keys:
            KitMap.objects.create(student=self.student, keys=keys)

    def record(
        self, playing: DemoPlaying, given: Mapping[DiaryPiece, AssignedVariation]
    ) -> list[Take]:
        """Keep the takes of these weeks; no take before there is something given."""
        caught: list[DemoStroke] = []
        for week in range(playing.first, playing.last + 1):
            for day in self._days(self.lessons[week], playing.takes):
                had = {piece: one for piece, one in given.items() if piece.given_on <= day}
                if had:
                    caught.append(self._caught(day, playing, had, turn=len(caught)))
        return [self._kept(one, playing.source) for one in caught]

    def _days(self, lesson: date, takes: int) -> Iterator[date]:
        """Days of the week from this lesson on, those that have come."""
        for after in sorted(self._random.sample(range(_WEEK), min(takes, _WEEK))):
            day = lesson + timedelta(days=after)
            if day <= self.today:
                yield day

    def _caught(
        self,
        day: date,
        playing: DemoPlaying,
        had: Mapping[DiaryPiece, AssignedVariation],
        turn: int,
    ) -> DemoStroke:
        favourites = list(had)[: playing.favourites]
        piece = favourites[turn % len(favourites)] if favourites else self._random.choice([*had])
        variation = had[piece]
        if playing.style is None:
            feel = variation.assignment.feel
            played = as_taught(variation.as_fill, self.kit, piece.tempo, feel=feel)
            return DemoStroke(day, played, variation, piece.tempo)
        bars = [one.as_fill.bar for one in had.values()]
        whole = [bar for bar in bars if bar.meter == _METER and not bar.lead_in]
        bar = self._random.choice(whole)
        return DemoStroke(day, playing.style(bar, self.kit, self._random), None, piece.tempo)

    def _kept(self, caught: DemoStroke, source: Take.Source) -> Take:
        events = self._events(caught)
        take = Take.objects.create(
            student=self.student,
            variation=caught.variation,
            source=source,
            meter=str(caught.fill.bar.meter),
            tempo=caught.tempo,
            seconds=seconds_of(events),
            events=events,
            click={"tempo": caught.tempo, "start": _LEAD},
            day=caught.day,
        )
        analyse_take(take.pk)
        minute = self._random.randrange(60)
        backdate(take, created_at=moment(caught.day, EVENING, self.student.studio.zone, minute))
        return take

    def _events(self, caught: DemoStroke) -> list[list[float]]:
        """What the kit sends of one block: `[[ms, key, velocity], …]`."""
        random, quarter = self._random, 60_000 / caught.tempo
        feel = caught.variation.assignment.feel if caught.variation else STRAIGHT
        groove = grooves_for(caught.fill.bar.meter.one_bar)[0]
        return sorted(
            [
                round(_LEAD + float(sound.onset) * quarter + random.gauss(-_EARLY, _SPREAD), 1),
                PLACEMENTS[sound.surface].key,
                _VELOCITIES[sound.dynamic] + random.randint(-_UNEVEN, _UNEVEN),
            ]
            for sound in Block(caught.fill, groove, _BLOCK, self.kit.surfaces, feel).sounds
        )
