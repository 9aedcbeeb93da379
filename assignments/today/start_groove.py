"""A groove to begin with, for a student who has no fills yet."""

from typing import Any

from assignments.student_grooves import played_by
from rhythms.engine import Meter
from rhythms.engine.errors import BarError
from rhythms.engine.playback.groove import Groove
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.fill_spaces import engine_kit
from rhythms.notation.player import groove_json
from studio.models import Student

#: Quarters a minute: easy, whoever plays.
EASY = 70


def start_groove(student: Student) -> dict[str, Any]:
    """Return the groove as the page's player loads it, on the student's kit; one query.

    The first that the student works with, else the library's first in four quarters. Where their
    kit has nothing to play it on, it is heard as it is written.
    """
    groove = _first(student)
    heard = groove.on(engine_kit(student).surfaces)
    try:
        played = groove_json(heard if heard.hits else groove)
    except BarError:
        played = groove_json(groove)
    return played | {"tempo": EASY}


def _first(student: Student) -> Groove:
    own = played_by(student)
    return own[0] if own else grooves_for(Meter(4, 4))[0]
