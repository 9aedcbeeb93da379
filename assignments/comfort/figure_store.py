"""Figures on single fills, kept for each student: what is dear to work out is worked out once.

A figure has a name, and hangs on a fill and the student's kit alone; it is JSON. One that was
kept under another `COMFORT_VERSION` is worked out anew.

    store = FigureStore.of(student)
    store.figure("chances", fill, kit, lambda: dear(fill, kit).to_json())
    store.save()
"""

import hashlib
import json
import zlib
from collections.abc import Callable
from itertools import islice
from typing import Any

from assignments.comfort.playing_record import COMFORT_VERSION
from assignments.models import FillFigures
from rhythms.engine import Fill, Kit
from rhythms.engine.comfort.rhythm_chances import DRAWN, RhythmChances, rhythm_chances
from studio.models import Student

#: So many figures are kept of a student: those last asked for.
MOST_KEPT = 1_000


class FigureStore:
    """The figures of one student, as they were kept and as they were asked for since."""

    def __init__(self, student: Student, kept: dict[str, Any]) -> None:
        self._student = student
        self._kept = kept
        self._asked: dict[str, Any] = {}
        self._chances: dict[tuple[Fill, Kit, int], RhythmChances | None] = {}

    @classmethod
    def of(cls, student: Student) -> "FigureStore":
        """The figures that are kept; one query."""
        rows = FillFigures.objects.filter(student=student, version=COMFORT_VERSION)
        stored = rows.values_list("figures", flat=True).first()
        return cls(student, {} if stored is None else json.loads(zlib.decompress(bytes(stored))))

    def figure(self, name: str, fill: Fill, kit: Kit, work: Callable[[], Any]) -> Any:
        """Return a figure of a fill as JSON: as it was kept, else as `work` makes it."""
        key = _key(name, fill, kit)
        if key not in self._asked:
            self._asked[key] = self._kept[key] if key in self._kept else work()
        return self._asked[key]

    def chances(self, fill: Fill, kit: Kit, drawn: int = DRAWN) -> RhythmChances | None:
        """Return what drummers would strike on the rhythm of a fill, as `rhythm_chances` does."""
        asked = (fill, kit, drawn)
        if asked not in self._chances:
            self._chances[asked] = self._chances_in_store(*asked)
        return self._chances[asked]

    def _chances_in_store(self, fill: Fill, kit: Kit, drawn: int) -> RhythmChances | None:
        def work() -> list[Any] | None:
            found = rhythm_chances(fill, kit, drawn)
            return None if found is None else found.to_json()

        stored = self.figure(f"chances of {drawn}", fill, kit, work)
        return None if stored is None else RhythmChances.from_json(stored)

    def save(self) -> None:
        """Keep them, where there are any that were not kept; those last asked for stay longest."""
        if self._asked.keys() <= self._kept.keys():
            return
        kept = dict(islice((self._asked | self._kept).items(), MOST_KEPT))
        figures = zlib.compress(json.dumps(kept, separators=(",", ":")).encode())
        FillFigures.objects.update_or_create(
            student=self._student, defaults={"version": COMFORT_VERSION, "figures": figures}
        )


def _key(name: str, fill: Fill, kit: Kit) -> str:
    about = [name, fill.without_hands().to_json(), kit.to_json()]
    return hashlib.sha256(json.dumps(about).encode()).hexdigest()[:24]
