"""How much work a question may be: counted, not timed, so that every machine gives one answer."""

from __future__ import annotations

from rhythms.engine.errors import TooManyStatesError

#: What things cost, in units of about a nanosecond of one processor, measured once.
STEP = 700  # an automaton's step, in Python
ASKED = 200  # a rule asked about one stroke, in Python
TOGETHER = 2_000  # the same of a stroke of several limbs, or how it is told apart
EDGE = 60  # a transition worked out in an array and looked for among those known
CELL = 2  # a number looked up and added
CALL = 20_000  # a handful of array operations, however small
#: What counting one space may cost; and saying why it has no fills, on top of that.
COUNTING = 450_000_000
EXPLAINING = 250_000_000
#: States before one note, of 8 bytes each, a few times over.
MOST_STATES = 1_500_000
#: Bytes that the counts of one space may take.
MOST_BYTES = 80_000_000


class Work:
    """What is left of a bound on work."""

    def __init__(self, units: int = COUNTING) -> None:
        self.units = units
        self.left = units

    @property
    def done(self) -> int:
        """The units spent."""
        return self.units - self.left

    def spend(self, units: int) -> None:
        """Raises TooManyStatesError where no so many are left."""
        if units > self.left:
            self.left = 0
            raise TooManyStatesError
        self.left -= units
