"""What a take says of its feel, in sentences."""

from typing import Any

from rhythms.engine.bars.feel import Feel

#: Nearer than this, in percent of a pair, it is as it should be.
_AS_ASKED = 2.0


def feel_of(found: dict[str, Any]) -> Feel:
    """The feel that an analysis held its strokes against."""
    return Feel.from_json(found.get("feel"))


def against(found: dict[str, Any], held: str = "") -> str:
    """What early and late are told against, where that is not as written; else ""."""
    feel = feel_of(found)
    return "" if feel.is_straight else f"{held} against {feel.words}"


def by_feel(found: dict[str, Any]) -> str:
    """The feel that strokes are held against, behind the grid that they are; else ""."""
    feel = feel_of(found)
    return "" if feel.is_straight else f", in {feel.in_full}"


def swing_in_words(found: dict[str, Any], *, said: bool) -> list[str]:
    """How far the strokes swung; ``said`` where somebody said how far they should.

    Nothing where too few notes say, or where they were to be even.
    """
    feel, percent = feel_of(found), found.get("swing")
    if feel.is_straight or percent is None:
        return []
    notes = f"Of two {feel.unit} the first takes {percent:.0f} %"
    if not said:
        return [f"{notes}: the strokes swing of themselves."]
    if abs(percent - 100 * float(feel.share)) < _AS_ASKED:
        return [f"{notes}, as {feel.words} has it."]
    return [f"{notes}, where {feel.words} has {feel.swing} %."]
