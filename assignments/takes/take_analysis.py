"""The worker's part of a take: read its file, make out what was played, keep that."""

import logging
import uuid
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from assignments.models import AssignedVariation, KitMap, Take
from assignments.models.assignment import FASTEST, SLOWEST
from rhythms.engine import EngineError, FillSpace, Kit, Meter, Surface
from rhythms.engine.playback.groove import Groove
from rhythms.engine.takes import MOST_STROKES, Analysis, Recording, analyse
from rhythms.fill_spaces import engine_kit, space_for
from rhythms.grooves.groove_list import Wish, wanted_grooves
from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.strokes import strokes
from rhythms.notation.staff_placement import PLACEMENTS
from rhythms.renderings.rendering_store import renderings_for
from studio.models import Student

logger = logging.getLogger(__name__)

#: So many strokes are taken in of one take, and kept of a file, of which no more are read.
MOST_EVENTS, MOST_OF_A_FILE = MOST_STROKES, 20_000
_OURS = "The mistake is ours ({}), not in what you played. Look again later."
#: So many fills of one take are engraved; all are kept.
MOST_ENGRAVED = 12


def analyse_take(pk: uuid.UUID) -> None:
    """The worker's part: read the file if there is one, analyse, keep what was found.

    Whatever goes wrong is kept with the take, where a person sees it and can try again; where the
    machine has no room to read a file, the take goes on waiting. One that does not wait was looked
    at already: whoever asks for it ten times has it looked at once.
    """
    take = (
        Take.objects.select_related(
            "student__kit", "student__studio", "variation__assignment__source_bar"
        )
        .filter(pk=pk, state=Take.State.WAITING)
        .first()
    )
    if take is None:
        return
    try:
        if take.upload is not None:
            _read(take)
        found = analysis_of(take)
    except (ReadingError, EngineError) as error:
        _fail(take, error.message)
    except OSError:
        logger.exception("Take %s waits: there was no room to read it", pk)
    except Exception as error:
        logger.exception("Take %s was not understood", pk)
        _fail(take, _OURS.format(type(error).__name__))
    else:
        _finish(take, found)


def analysis_of(take: Take) -> Analysis:
    """What the strokes of a take say. Raises EngineError."""
    variation = take.variation
    kit = engine_kit(take.student)
    recording = Recording(
        take.events,
        Meter.parse(take.meter),
        kit,
        click=(take.click["tempo"], take.click["start"]) if take.click else None,
        of_file=take.source == Take.Source.FILE,
        tempo=take.tempo or (variation.assignment.tempo if variation else None),
        stated_tempo=take.said_tempo,
        counted_as_stated=take.counted_as_said,
        feel=take.feel,
        latency=take.latency,
        jitter=take.jitter,
        keys=_keys(take),
        grooves=() if variation else _grooves(take.student),
    )
    if variation is None:
        return analyse(recording)
    fill = variation.as_fill
    if take.source == Take.Source.LESSON:
        # The grid has what was struck for the notes; nobody enters feet that keep going.
        fill = replace(fill, ostinato=None)
    return analyse(recording, fill, rules_of(variation))


def _grooves(student: Student) -> list[Groove]:
    """What a groove may be: the studio's own, then the program's."""
    found = []
    for listed in wanted_grooves(student.studio, Wish()):
        try:
            found.append(listed.pattern.groove)
        except EngineError:
            continue  # kept before something of it could no longer be played
    return found


def rules_of(variation: AssignedVariation) -> FillSpace | None:
    """The rules a fill was given under; None where they were changed since."""
    assignment = variation.assignment
    space = space_for(assignment.bar, assignment.rule_set, Kit.from_json(assignment.kit))
    rules = space.rule_set
    # Before, sentences were kept without regard to the kit.
    said = (list(rules.sentences_on(space.kit)), list(rules.sentences()))
    return space if assignment.sentences in said else None


def _keys(take: Take) -> dict[int, Surface]:
    """What the student's kit was shown to send; pads and the lesson's grid send our own keys."""
    if take.source not in (Take.Source.FILE, Take.Source.LIVE):
        # Of two surfaces on one key the first.
        return {row.key: row.surface for row in reversed(PLACEMENTS.values())}
    learnt = KitMap.objects.filter(student=take.student).first()
    return {key: Surface(name) for key, name in learnt.surfaces.items()} if learnt else {}


def _read(take: Take) -> None:
    """Events, tempo and click of the file. Raises ReadingError."""
    read = strokes(bytes(take.upload or b""))
    if len(read.events) > MOST_OF_A_FILE:
        raise ReadingError(
            "too-long",
            f"The file has {len(read.events):,} strokes, and a take up to {MOST_OF_A_FILE:,}. "
            "Send it in parts.",
        )
    take.events = [list(event) for event in read.events]
    take.seconds = seconds_of(take.events)
    take.tempo = read.tempo if read.tempo and SLOWEST <= read.tempo <= FASTEST else None
    take.click = None
    if read.click and SLOWEST <= read.click[0] <= FASTEST:
        take.click = {"tempo": read.click[0], "start": read.click[1]}
    if take.variation is None and read.meter:
        take.meter = read.meter
    take.upload = None


def _finish(take: Take, found: Analysis) -> None:
    take.analysis = found.to_json()
    take.fills = [fill.to_json() for fill in (*found.fills, *found.answers)]
    take.groove_heard = found.groove
    take.state, take.error, take.analysed_at = Take.State.DONE, "", timezone.now()
    names = ["analysis", "fills", "groove_heard", "state", "error", "analysed_at", *_OF_A_FILE]
    with transaction.atomic():
        if not _as_asked(take).select_for_update().exists():
            return
        take.save(update_fields=names)
        take.renderings.set(renderings_for((found.answers or found.fills)[:MOST_ENGRAVED]))


_OF_A_FILE = ["events", "seconds", "tempo", "click", "meter", "upload"]


def _fail(take: Take, reason: str) -> None:
    failed: dict[str, Any] = {"state": Take.State.FAILED, "error": reason}
    _as_asked(take).update(**failed)


def _as_asked(take: Take) -> QuerySet[Take]:
    """The take, unless it was asked for once more meanwhile, with another kit map or tempo: what
    was found before is not to be the last word."""
    return Take.objects.filter(pk=take.pk, asked_at=take.asked_at)


def seconds_of(events: Sequence[Sequence[float]]) -> float:
    """How long a take lasts, from its start to its last stroke."""
    return round(max((event[0] for event in events), default=0.0) / 1000, 3)
