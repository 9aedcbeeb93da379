"""What the engine says when it cannot do what it was asked."""

from __future__ import annotations


class EngineError(ValueError):
    """Base of all engine errors.

    ``code`` outlives the wording; ``message`` is a sentence for the person who typed
    the input; ``field`` names the part of the input at fault where there is one.
    """

    code = "engine"

    def __init__(self, message: str, *, field: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field


class MeterError(EngineError):
    """A time signature that is malformed or not supported."""

    code = "meter"


class BarError(EngineError):
    """Notes that do not make up a bar: ``note`` is the 0-based index at fault."""

    code = "bar"

    def __init__(self, message: str, *, note: int | None = None) -> None:
        super().__init__(message, field="notes")
        self.note = note


class CountLineError(EngineError):
    """A count line that cannot be read.

    ``column`` is the 0-based column at fault, ``found`` what stands there ("" at the
    end of the line) and ``expected`` what could have stood there.
    """

    code = "count-line"

    def __init__(self, column: int, found: str, expected: tuple[str, ...], why: str = "") -> None:
        place = f"column {column + 1}"
        there = f"“{found}”" if found else "the end of the line"
        wanted = f"expected {one_of(expected)}" if expected else ""
        explained = " ".join(part for part in (why, wanted and f"{wanted}.".capitalize()) if part)
        super().__init__(
            f"At {place}, {there}: {explained[0].lower() + explained[1:]}", field="counts"
        )
        self.column = column
        self.found = found
        self.expected = expected


class AmbiguousCountLineError(CountLineError):
    """A count line with more than one reading: the dashes can stand for different counts."""

    code = "ambiguous-count-line"


class NotCountableError(EngineError):
    """A bar that no count line can spell, such as one finer than 32nds."""

    code = "not-countable"


class KitError(EngineError):
    """A kit with unknown, repeated or missing surfaces."""

    code = "kit"


class RuleError(EngineError):
    """A rule that cannot be read: ``rule`` is its 0-based place in the rule set."""

    code = "rule"

    def __init__(self, message: str, *, field: str | None = None, rule: int | None = None) -> None:
        super().__init__(message, field=field)
        self.rule = rule

    def at(self, rule: int) -> RuleError:
        """The same error, placed: rules do not know where in the set they stand."""
        return RuleError(f"Rule {rule + 1}: {self.message}", field=self.field, rule=rule)


class FillError(EngineError):
    """Strokes that do not fit their bar, or a fill that is not in the space asked."""

    code = "fill"


class RankError(EngineError, IndexError):
    """A rank outside 0 … size - 1, or more fills asked for than there are."""

    code = "rank"


class TooManyStatesError(EngineError):
    """Rules that together remember more than can be counted in reasonable time and memory."""

    code = "too-many-states"

    def __init__(self) -> None:
        super().__init__(
            "These rules together are too much to count exactly on this bar and kit. "
            "Leave out one that looks at many strokes at once, such as “Get round the kit”, "
            "“Keep to a few surfaces” or “Hands apart”, or take a shorter bar.",
            field="rules",
        )


def one_of(words: tuple[str, ...]) -> str:
    """``a``, ``a or b``, ``a, b or c``, each word as it would be typed."""
    *head, last = words
    return f"{', '.join(head)} or {last}" if head else last
