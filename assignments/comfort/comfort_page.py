"""The page of one student's comfort zone: what to draw, and what can be heard."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple
from uuid import UUID

from django.utils.safestring import SafeString

from assignments.comfort.comfort_zones import (
    Comfort,
    comfort_in,
    comfort_zone_of,
    is_narrow,
    looked_at_in,
    weeks_in,
    zone_in,
)
from assignments.comfort.fact_table import FactRow, fact_rows
from assignments.comfort.kit_picture import KitPicture, kit_picture
from assignments.comfort.noted_practice import NotedPractice
from assignments.comfort.variety_chart import VarietyLine, line
from assignments.comfort.view_choice import View
from assignments.comfort.way_out import Worked, tempo_of, whether_it_worked
from assignments.comfort.way_out_wishes import wish_for
from assignments.comfort.zone_making import ZoneOfSome, zone_of_some
from assignments.models import KeptZone, Take
from rhythms.engine import Kit, Surface
from rhythms.engine.comfort import FEWEST, Zone
from rhythms.engine.comfort.clusters import Cluster
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.untouched import stickings_unused
from rhythms.fill_spaces import engine_kit
from rhythms.models import Rendering
from rhythms.renderings.display import inline_svg
from rhythms.renderings.rendering_store import renderings_for
from studio.models import Student

#: More clusters than these are no favourites, and more moves are no table.
MOST_CLUSTERS, MOST_MOVES = 3, 10


class Typical(NamedTuple):
    """The engraving of the most typical fill of a cluster."""

    rendering: Rendering
    cluster: Cluster


@dataclass(frozen=True)
class ComfortPage:
    """Everything about one student's comfort zone, on one day."""

    student: Student
    today: date
    view: View
    #: Whether the student is who looks at it.
    is_own: bool = False

    @cached_property
    def _kept(self) -> KeptZone | None:
        return KeptZone.objects.filter(student=self.student).exclude(day=None).first()

    @cached_property
    def comfort(self) -> Comfort:
        """What the takes say, in short."""
        if self._kept is None:
            return comfort_zone_of(self.student, self.today)
        return comfort_in(self._kept, self.today)

    @cached_property
    def zone(self) -> Zone | None:
        """The comfort zone; None where too few takes tell, or nobody has looked at them yet.

        Of a part of the takes it is worked out now.
        """
        return self._made.zone

    @property
    def drawn_of(self) -> int | None:
        """Of how many takes those looked at are drawn; None where they are all."""
        return self._made.of if self._made.of > self._made.looked_at else None

    @cached_property
    def _made(self) -> ZoneOfSome:
        if not self.view.is_chosen:
            if self._kept is None:
                return ZoneOfSome(None, 0, 0)
            return ZoneOfSome(zone_in(self._kept), *looked_at_in(self._kept))
        takes = [take.take for take in self.view.chosen]
        if not self.view.is_enough:
            return ZoneOfSome(None, len(takes), len(takes))
        return zone_of_some(self.student, takes, self.view.first, self.today)

    @property
    def fewest(self) -> int:
        """So many takes tell something."""
        return FEWEST

    @property
    def kit(self) -> Kit:
        """The student's kit."""
        return engine_kit(self.student)

    @cached_property
    def typical(self) -> list[Typical]:
        """The most typical fill of each favourite cluster, engraved."""
        groups = [one for one in self._clusters if one.comes_back][:MOST_CLUSTERS]
        return [
            Typical(rendering, one)
            for one, rendering in zip(groups, _engraved(groups), strict=True)
        ]

    @property
    def _clusters(self) -> tuple[Cluster, ...]:
        return self.zone.clusters if self.zone else ()

    @property
    def is_nothing_alike(self) -> bool:
        """Whether nothing came in a second take."""
        return all(one.takes == 1 for one in self._clusters)

    @cached_property
    def picture(self) -> KitPicture | None:
        """The kit with the moves made on it; None for a kit with one surface."""
        if self.zone is None or len(self.kit.surfaces) < 2:
            return None
        return kit_picture(self.kit, self.zone.moves, self.zone.unused)

    @cached_property
    def moves(self) -> tuple[MoveMade, ...]:
        """The moves made most often, habits first."""
        if self.zone is None:
            return ()
        others = [move for move in self.zone.moves if not move.is_habit]
        return (*self.zone.habits, *others)[:MOST_MOVES]

    @cached_property
    def compared_with(self) -> str:
        """Whose moves theirs are held against, in words."""
        given = ", or what was assigned," if self.practised.given else ""
        return f"others on the same rhythms{given}"

    @cached_property
    def facts(self) -> list[FactRow]:
        """What stands out, in figures."""
        return fact_rows(self.zone.facts if self.zone else (), to_player=self.is_own)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What stands out; to the student as "you", and never beside the other students."""
        if self.zone is None:
            return ()
        return self.zone.sentences_to_player if self.is_own else self.zone.sentences

    @cached_property
    def practised(self) -> NotedPractice:
        """What is noted of the fills that were given, in the days of the takes."""
        return NotedPractice(self.student, self.view.first, self.today)

    @cached_property
    def left_out(self) -> Surface | None:
        """A drum that is perhaps left out, by practice alone: where takes tell, they say it."""
        is_alone = not self.view.is_chosen and self.comfort.missing
        return self.practised.left_out if is_alone else None

    @cached_property
    def stickings(self) -> tuple[str, ...] | None:
        """The stickings that were not played; None where no take has hands."""
        played = self.zone.stickings if self.zone else None
        return None if played is None else stickings_unused(played)

    @property
    def direction(self) -> str:
        """Where variety goes in the last weeks; "" of a part of them."""
        return "" if self.view.is_chosen else self.comfort.direction

    @cached_property
    def line(self) -> VarietyLine:
        """The variety over the weeks."""
        is_shown = self._kept and not self.view.is_chosen
        return line(weeks_in(self._kept) if self._kept and is_shown else ())

    @property
    def is_narrow(self) -> bool:
        """Whether there is something to do about it."""
        return self.comfort.zone is not None and is_narrow(self.comfort.zone, self.today)

    @cached_property
    def one_change(self) -> str:
        """What the next way out changes, said of the student; "" where there is none."""
        zone = zone_in(self._kept) if self._kept else None
        wish = wish_for(self.student, zone) if zone else None
        return wish.change.words("their") if wish else ""

    @cached_property
    def worked(self) -> Worked | None:
        """The latest way out, and what became of it."""
        if self._kept is None or self.view.is_chosen:
            return None
        return whether_it_worked(self._kept, self.today)

    @cached_property
    def before_and_after(self) -> list[tuple[str, SafeString | None]]:
        """The fill most played before the way out, and the one most played since."""
        if self.worked is None or not self.worked.shows:
            return []
        sides = {"Before": self.worked.before.typical, "Since": self.worked.after.typical}
        # Drawn by themselves: the same fill may stand among the favourites, and ids stand once.
        return [
            (name, inline_svg(fill, f"{name.lower()}-")) for name, fill in sides.items() if fill
        ]

    @cached_property
    def tempo(self) -> int:
        """The student's tempo, to hear the fills at."""
        return tempo_of(self.student, self.today)


def _engraved(groups: Sequence[Cluster]) -> list[Rendering]:
    """The typical fills, as they were played in takes; whoever may see a take may see them."""
    found = renderings_for(one.typical for one in groups)
    through = Take.renderings.through
    through.objects.bulk_create(
        [
            through(take_id=UUID(one.take), rendering_id=rendering.pk)
            for one, rendering in zip(groups, found, strict=True)
        ],
        ignore_conflicts=True,
    )
    return found
