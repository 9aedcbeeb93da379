"""Where each surface stands on the staff, how its notehead looks, and its General MIDI key.

Positions and noteheads: Weinberg, "Guidelines for Drumset Notation" (Percussive Notes,
June 1994; later the Percussive Arts Society's guide), read as in treble clef. Published
practice varies for splash and china ("above the crash"): here the splash takes the next
space and the china the next ledger line, so no two surfaces look alike. A hi-hat struck open has
an o above it, half-open the same struck through, a rim shot a head with a slash. For stick on
stick practice varies: here an x on the middle line, which no drum has.
Keys: General MIDI System Level 1, percussion map. It has one open hi-hat; no rim shot, for which
the electric snare stands, the key that electronic kits send for the rim (common practice, by
vendor); and no sticks, for which the claves stand, two sticks struck together: key 31 “Sticks” is
of Level 2 and of GS, and silent elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rhythms.engine import Surface
from rhythms.engine.fills.fill import Hit
from rhythms.engine.kits.surfaces import FEET, called

_STEPS = "CDEFGAB"
#: E4, the bottom line of the staff, counted in steps from C0.
_BOTTOM_LINE = 4 * len(_STEPS) + _STEPS.index("E")

HANDS_VOICE = 1
FEET_VOICE = 2
#: Feet that keep going in a rhythm that does not fit into the other voice of the feet.
ALONG_VOICE = 3

#: How a hi-hat is struck, by the sign above it.
OPEN, HALF_OPEN = "open", "half-open"


class StaffPlacement(NamedTuple):
    """``step`` and ``octave`` as displayed, ``head`` as MusicXML names it, ``key`` 35 to 81.

    ``sign`` is what stands above the note: OPEN, HALF_OPEN, or nothing.
    """

    surface: Surface
    step: str
    octave: int
    head: str
    key: int
    sign: str = ""

    @property
    def loc(self) -> int:
        """MEI's staff position: 0 is the bottom line, one for each line or space up."""
        return self.octave * len(_STEPS) + _STEPS.index(self.step) - _BOTTOM_LINE

    @property
    def voice(self) -> int:
        """1 for the hands, 2 for the feet."""
        return FEET_VOICE if self.surface in FEET else HANDS_VOICE

    @property
    def stem(self) -> str:
        """``up`` for the hands, ``down`` for the feet."""
        return stem_of(self.voice)

    @property
    def name(self) -> str:
        """The surface as a heading or an instrument name."""
        return called(self.surface).capitalize()


def stem_of(voice: int) -> str:
    """The stem direction of a voice: hands up, feet down."""
    return "down" if voice in (FEET_VOICE, ALONG_VOICE) else "up"


_ROWS = (
    StaffPlacement(Surface.SNARE, "C", 5, "normal", 38),
    StaffPlacement(Surface.HIGH_TOM, "E", 5, "normal", 48),
    StaffPlacement(Surface.MID_TOM, "D", 5, "normal", 45),
    StaffPlacement(Surface.FLOOR_TOM, "A", 4, "normal", 43),
    StaffPlacement(Surface.HI_HAT, "G", 5, "x", 42),
    StaffPlacement(Surface.RIDE, "F", 5, "x", 51),
    StaffPlacement(Surface.RIDE_BELL, "F", 5, "diamond", 53),
    StaffPlacement(Surface.CRASH, "A", 5, "x", 49),
    StaffPlacement(Surface.SPLASH, "B", 5, "x", 55),
    StaffPlacement(Surface.CHINA, "C", 6, "x", 52),
    StaffPlacement(Surface.COWBELL, "E", 5, "triangle", 56),
    StaffPlacement(Surface.CROSS_STICK, "C", 5, "x", 37),
    StaffPlacement(Surface.BASS_DRUM, "F", 4, "normal", 36),
    StaffPlacement(Surface.HI_HAT_FOOT, "D", 4, "x", 44),
    StaffPlacement(Surface.OPEN_HI_HAT, "G", 5, "x", 46, OPEN),
    StaffPlacement(Surface.HALF_OPEN_HI_HAT, "G", 5, "x", 46, HALF_OPEN),
    StaffPlacement(Surface.RIM_SHOT, "C", 5, "slashed", 40),
    StaffPlacement(Surface.STICKS, "B", 4, "x", 75),
)

#: One row a surface, in the order surfaces are listed everywhere.
PLACEMENTS: dict[Surface, StaffPlacement] = {row.surface: row for row in _ROWS}


def from_the_top(hits: Iterable[Hit]) -> list[Hit]:
    """What is struck at once, the highest head first."""
    return sorted(hits, key=lambda hit: -PLACEMENTS[hit.surface].loc)
