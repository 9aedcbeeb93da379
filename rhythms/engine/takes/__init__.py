"""Takes: what was caught of a student's playing, understood.

A take is kept as raw events ``[ms, key, velocity]``, so that it can be analysed again at any time;
``TAKES_VERSION`` is kept with each analysis. `analyse` goes through these steps:

- `hits`: keys to surfaces, by what the student's kit was shown to send, then by the usual keys;
- `recording`, `grid_choice`: the bar grid. That of the click or the file stays (`given_grid`), also
  when somebody says a tempo within a tenth of its own, or of its double or half, which only counts
  it faster or slower; another tempo goes on from the same bar line. It is left only where the
  strokes clearly follow another. Without a click the grid is made out from the strokes alone
  (`tempo_estimate`), or from the fill that is known to be in them (`locate`): a bar or two often
  has two readings, so the tempo that was asked for counts as likely, and one that is said decides;
- `click_left`: where a player slips off the click, by bars that are like others before them; the
  grid then goes with the strokes;
- `swung_places`, `swing_estimate`: a feel that is known says where notes fall, and a light swing is
  made out by itself; how far was really swung is measured;
- `moments`, `stroke_reading`, `struck_at_once`: what sounds together, each stroke on the place it
  was meant for, and what two hands and two feet struck there;
- `split`, `played_phrases`: groove apart from fills, and bars of fill in a row as a fill of
  several bars;
- `groove_heard`: which of the grooves that are known was played around free fills;
- `matching`, `attempt_result`: each hit right, on another surface, missed, or extra, in windows
  that never meet, after the offset of the whole attempt is taken off; `going_feet`: the feet that
  keep going under it;
- `timing`: bias, spread and bands against where the feel has each note, none finer than the
  device's own jitter; nobody is early or late on a device whose delay was not measured;
- `rules_kept`: the rules that were kept, as far as strokes without hands can tell.
"""

from rhythms.engine.takes.analyse import TAKES_VERSION, Analysis, analyse
from rhythms.engine.takes.attempt_result import (
    MISSED,
    RIGHT,
    WRONG,
    Attempt,
    HitResult,
    NoteResult,
)
from rhythms.engine.takes.grid import CLICK, ESTIMATED, FILE, Grid
from rhythms.engine.takes.hits import MOST_MS, MOST_STROKES, USUAL_KEYS, TimedHit, hear
from rhythms.engine.takes.recording import Recording
from rhythms.engine.takes.tempo_estimate import FOR_A_TEMPO

__all__ = [
    "CLICK",
    "ESTIMATED",
    "FILE",
    "FOR_A_TEMPO",
    "MISSED",
    "MOST_MS",
    "MOST_STROKES",
    "RIGHT",
    "TAKES_VERSION",
    "USUAL_KEYS",
    "WRONG",
    "Analysis",
    "Attempt",
    "Grid",
    "HitResult",
    "NoteResult",
    "Recording",
    "TimedHit",
    "analyse",
    "hear",
]
