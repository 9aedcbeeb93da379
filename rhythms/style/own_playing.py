"""What teachers of a studio play: taken in, and mixed into what is drawn there."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256

from rhythms.engine import Fill, Kit, Meter
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.prior.human_prior import Prior, human_prior
from rhythms.engine.prior.played_line import Line
from rhythms.engine.takes import Recording, analyse
from rhythms.models import StudioStyle, TeacherTake
from rhythms.notation.reading.strokes import strokes
from studio.models import Studio, Teacher

#: A kit with everything: nothing that a teacher strikes is read as something else.
_WHOLE_KIT = Kit(KIT_SURFACES)


class NothingPlayedError(Exception):
    """Raised where a file has no fill in it."""

    def __init__(self) -> None:
        super().__init__(
            "No fill was found in this file. Play some, alone or after bars of groove, and export "
            "them with the tempo they were played at."
        )


@dataclass(frozen=True)
class OwnPlaying:
    """The takes of a studio's teachers, and how much they count for."""

    takes: Sequence[TeacherTake]

    @property
    def fills(self) -> int:
        """How many fills were played in them."""
        return sum(len(take.fills) for take in self.takes)

    @property
    def others(self) -> int:
        """How many fills of the drummers stand beside them."""
        return human_prior().fills

    @property
    def one_in(self) -> int:
        """One of so many fills is drawn as the teachers play; 0 while they played nothing."""
        return round((self.fills + self.others) / self.fills) if self.fills else 0


def style_of(studio: Studio) -> StudioStyle:
    """Return what the studio chose, or the defaults."""
    return StudioStyle.objects.filter(pk=studio.pk).first() or StudioStyle(studio=studio)


def own_playing(studio: Studio) -> OwnPlaying:
    """Return what its teachers played, the latest first."""
    return OwnPlaying(tuple(TeacherTake.objects.kept().filter(studio=studio)))


def take_in(studio: Studio, teacher: Teacher, name: str, data: bytes, meter: str) -> TeacherTake:
    """Keep the fills of a MIDI file; the same file again is the same take, brought back if need be.

    `meter` is that of a file which names none. Raises ReadingError, EngineError where it cannot
    be read, NothingPlayedError where there is no fill in it.
    """
    fills = [fill.to_json() for fill in _fills_in(data, meter) if Line.of(fill).surfaces]
    if not fills:
        raise NothingPlayedError
    about = {"teacher": teacher, "name": name[:100], "fills": fills, "removed_at": None}
    take, _ = TeacherTake.objects.update_or_create(
        studio=studio, key=sha256(data).hexdigest(), defaults=about
    )
    return take


def prior_of(studio: Studio) -> Prior:
    """Return the prior with what the studio's teachers play mixed in, unless that is off."""
    if not style_of(studio).own_playing:
        return human_prior()
    kept = TeacherTake.objects.kept().filter(studio=studio)
    return _mixed(tuple(kept.order_by("pk").values_list("pk", "key")))


@lru_cache(maxsize=32)
def _mixed(takes: tuple[tuple[int, str], ...]) -> Prior:
    pks = [pk for pk, _ in takes]
    stored = TeacherTake.objects.filter(pk__in=pks).order_by("pk").values_list("fills", flat=True)
    lines = [Line.of(Fill.from_json(fill)) for fills in stored for fill in fills]
    return human_prior().with_player("teacher", lines)


def _fills_in(data: bytes, meter: str) -> tuple[Fill, ...]:
    read = strokes(data)
    recording = Recording(
        read.events,
        Meter.parse(read.meter or meter),
        _WHOLE_KIT,
        click=read.click,
        of_file=True,
    )
    return analyse(recording).fills
