"""The Percussive Arts Society's International Drum Rudiments, 1 to 40.

Names, letters, accents and leads are typed from memory of the published sheet; names, and the
letters of 1 to 3, 5 to 18, 21 and 22, agree with an independent list. How 20 to 40 divide a beat is
the least sure. The sheet writes a rhythm for each, not a bar: meters, lengths of releases and
the rest of 39 are ours, so that whole statements fill a bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.values import LENGTHS
from rhythms.engine.rudiments.letters import Letter, read_letters, swapped

#: The sheet's families, in its order, and what they are called on a page.
RUDIMENT_FAMILIES = {
    "roll/single": "Single stroke rolls",
    "roll/bounce": "Multiple bounce rolls",
    "roll/double": "Double stroke rolls",
    "diddle": "Diddles",
    "flam": "Flams",
    "drag": "Drags",
}
#: Whether the next statement starts with the other hand.
ALTERNATES, REPEATS = True, False
#: Where the letters go: over any notes; over any by common practice, where the sheet writes a
#: rhythm; or in the rhythm of the rudiment alone.
ANYWHERE, AS_EVEN, OWN_RHYTHM = "over any notes", "as even notes", "in its own rhythm"
_REST = "rest"
#: Where rules and sentences do not call it by its name in small letters.
_SAID = {
    "Triple Stroke Roll": "triple stroke roll as even notes",
    "Double Stroke Open Roll": "double stroke roll",
    "Six Stroke Roll": "six stroke roll as even notes",
    "Single Paradiddle-Diddle": "paradiddle-diddle",
    "Swiss Army Triplet": "Swiss Army triplet",
    "Lesson 25": "Lesson 25",
}


@dataclass(frozen=True)
class Rudiment:
    """One of the 40. ``written`` is one statement led by the right hand (see `letters`).

    ``rhythm`` has how long its letters last, in order (``4 32nd, eighth``), and may end with a
    rest; statements fill the ``bars`` of ``meter``.
    """

    number: int
    name: str
    family: str
    written: str
    alternates: bool
    goes: str
    meter: str
    rhythm: str
    bars: int = 1

    @property
    def said(self) -> str:
        """What rules and sentences call it: stored, never to be changed."""
        return _SAID.get(self.name, self.name.lower())

    @cached_property
    def statement(self) -> tuple[Letter, ...]:
        """One statement, led by the right hand."""
        return read_letters(self.written)

    @cached_property
    def cycle(self) -> tuple[Letter, ...]:
        """What comes again and again: two statements where the lead alternates."""
        return read_letters(self.both_leads[0])

    @property
    def both_leads(self) -> tuple[str, str]:
        """One cycle led by the right hand and one led by the left, as written."""
        cycle = f"{self.written} {swapped(self.written)}" if self.alternates else self.written
        return cycle, swapped(cycle)

    @cached_property
    def over(self) -> Meter:
        """The meter of all its bars."""
        return Meter.parse(self.meter).over(self.bars)

    @cached_property
    def lengths(self) -> tuple[tuple[Fraction, bool], ...]:
        """What a statement takes, in quarters, letter by letter; True for a rest after them."""
        return tuple(length for part in self.rhythm.split(", ") for length in _lengths(part))


def _lengths(part: str) -> tuple[tuple[Fraction, bool], ...]:
    """``4 32nd`` -> four of them; ``eighth rest`` -> one that is silent."""
    number, _, value = part.partition(" ")
    if number.isdigit():
        return ((LENGTHS[value], False),) * int(number)
    return ((LENGTHS[part.removesuffix(f" {_REST}")], part.endswith(_REST)),)


_SINGLE, _BOUNCE, _DOUBLE, _DIDDLE, _FLAM, _DRAG = RUDIMENT_FAMILIES

# fmt: off
RUDIMENTS = (
    Rudiment(1, "Single Stroke Roll", _SINGLE, "R L", REPEATS, ANYWHERE, "2/4", "2 32nd"),
    Rudiment(2, "Single Stroke Four", _SINGLE, "R L R L", REPEATS, OWN_RHYTHM,
             "4/4", "3 16th triplet, eighth"),
    Rudiment(3, "Single Stroke Seven", _SINGLE, "R L R L R L R", ALTERNATES, OWN_RHYTHM,
             "4/4", "6 16th triplet, quarter"),
    Rudiment(4, "Multiple Bounce Roll", _BOUNCE, "Rz Lz", REPEATS, ANYWHERE, "4/4", "2 eighth"),
    Rudiment(5, "Triple Stroke Roll", _BOUNCE, "R R R L L L", REPEATS, AS_EVEN,
             "4/4", "6 eighth triplet"),
    Rudiment(6, "Double Stroke Open Roll", _DOUBLE, "R R L L", REPEATS, ANYWHERE, "2/4", "4 32nd"),
    Rudiment(7, "Five Stroke Roll", _DOUBLE, "R R L L R*", ALTERNATES, OWN_RHYTHM,
             "4/4", "4 32nd, eighth"),
    Rudiment(8, "Six Stroke Roll", _DOUBLE, "R* L L R R L*", REPEATS, AS_EVEN,
             "4/4", "16th, 4 32nd, 16th"),
    Rudiment(9, "Seven Stroke Roll", _DOUBLE, "R R L L R R L*", REPEATS, OWN_RHYTHM,
             "4/4", "6 32nd, 16th"),
    Rudiment(10, "Nine Stroke Roll", _DOUBLE, "R R L L R R L L R*", ALTERNATES, OWN_RHYTHM,
             "4/4", "8 32nd, quarter"),
    Rudiment(11, "Ten Stroke Roll", _DOUBLE, "R R L L R R L L R* L*", REPEATS, OWN_RHYTHM,
             "4/4", "8 32nd, 2 eighth"),
    Rudiment(12, "Eleven Stroke Roll", _DOUBLE, "R R L L R R L L R R L*", REPEATS, OWN_RHYTHM,
             "4/4", "10 32nd, dotted eighth"),
    Rudiment(13, "Thirteen Stroke Roll", _DOUBLE, "R R L L R R L L R R L L R*", ALTERNATES,
             OWN_RHYTHM, "4/4", "12 32nd, eighth"),
    Rudiment(14, "Fifteen Stroke Roll", _DOUBLE, "R R L L R R L L R R L L R R L*", REPEATS,
             OWN_RHYTHM, "4/4", "14 32nd, 16th"),
    Rudiment(15, "Seventeen Stroke Roll", _DOUBLE, "R R L L R R L L R R L L R R L L R*", ALTERNATES,
             OWN_RHYTHM, "4/4", "16 32nd, half", bars=2),
    Rudiment(16, "Single Paradiddle", _DIDDLE, "R* L R R", ALTERNATES, ANYWHERE, "4/4", "4 16th"),
    Rudiment(17, "Double Paradiddle", _DIDDLE, "R* L R L R R", ALTERNATES, ANYWHERE,
             "6/8", "6 16th"),
    Rudiment(18, "Triple Paradiddle", _DIDDLE, "R* L R L R L R R", ALTERNATES, ANYWHERE,
             "4/4", "8 16th"),
    Rudiment(19, "Single Paradiddle-Diddle", _DIDDLE, "R* L R R L L", REPEATS, ANYWHERE,
             "2/4", "6 16th triplet"),
    Rudiment(20, "Flam", _FLAM, "lR", ALTERNATES, ANYWHERE, "4/4", "quarter"),
    Rudiment(21, "Flam Accent", _FLAM, "lR* L R", ALTERNATES, ANYWHERE, "6/8", "3 eighth"),
    Rudiment(22, "Flam Tap", _FLAM, "lR* R", ALTERNATES, ANYWHERE, "4/4", "2 eighth"),
    Rudiment(23, "Flamacue", _FLAM, "lR L* R L lR", ALTERNATES, OWN_RHYTHM,
             "4/4", "4 16th, quarter"),
    Rudiment(24, "Flam Paradiddle", _FLAM, "lR* L R R", ALTERNATES, ANYWHERE, "4/4", "4 16th"),
    Rudiment(25, "Single Flammed Mill", _FLAM, "lR* R L R", ALTERNATES, ANYWHERE, "4/4", "4 16th"),
    Rudiment(26, "Flam Paradiddle-Diddle", _FLAM, "lR* L R R L L", ALTERNATES, ANYWHERE,
             "6/8", "6 16th"),
    Rudiment(27, "Pataflafla", _FLAM, "lR* L R rL*", REPEATS, ANYWHERE, "4/4", "4 16th"),
    Rudiment(28, "Swiss Army Triplet", _FLAM, "lR* R L", REPEATS, ANYWHERE,
             "4/4", "3 eighth triplet"),
    Rudiment(29, "Inverted Flam Tap", _FLAM, "lR* L", ALTERNATES, ANYWHERE, "4/4", "2 16th"),
    Rudiment(30, "Flam Drag", _FLAM, "lR* LL R", ALTERNATES, ANYWHERE, "4/4", "3 eighth triplet"),
    Rudiment(31, "Drag", _DRAG, "llR", ALTERNATES, ANYWHERE, "4/4", "quarter"),
    Rudiment(32, "Single Drag Tap", _DRAG, "llR L*", ALTERNATES, ANYWHERE, "4/4", "2 eighth"),
    Rudiment(33, "Double Drag Tap", _DRAG, "llR llR L*", ALTERNATES, ANYWHERE, "6/8", "3 eighth"),
    Rudiment(34, "Lesson 25", _DRAG, "llR L R*", REPEATS, OWN_RHYTHM, "4/4", "2 16th, eighth"),
    Rudiment(35, "Single Dragadiddle", _DRAG, "RR L R R", ALTERNATES, ANYWHERE, "4/4", "4 16th"),
    Rudiment(36, "Drag Paradiddle #1", _DRAG, "R* llR L R R", ALTERNATES, OWN_RHYTHM,
             "6/8", "eighth, 4 16th"),
    Rudiment(37, "Drag Paradiddle #2", _DRAG, "R* llR llR L R R", ALTERNATES, OWN_RHYTHM,
             "4/4", "2 eighth, 4 16th"),
    Rudiment(38, "Single Ratamacue", _DRAG, "llR L R L*", ALTERNATES, OWN_RHYTHM,
             "4/4", "3 16th triplet, eighth"),
    Rudiment(39, "Double Ratamacue", _DRAG, "llR llR L R L*", ALTERNATES, OWN_RHYTHM,
             "4/4", "eighth, 3 16th triplet, eighth, eighth rest"),
    Rudiment(40, "Triple Ratamacue", _DRAG, "llR llR llR L R L*", ALTERNATES, OWN_RHYTHM,
             "4/4", "2 eighth, 3 16th triplet, eighth"),
)
# fmt: on
