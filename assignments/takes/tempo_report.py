"""The tempo and the bar lines of a take, in words; and what is asked about them."""

from typing import Any, NamedTuple

from assignments.models import Take
from assignments.takes.feel_report import by_feel
from rhythms.engine.takes import CLICK, ESTIMATED, FOR_A_TEMPO
from rhythms.engine.takes.grid_choice import counted_as

_TIMES = {2.0: "twice as fast", 0.5: "half as fast"}
_BARS = {
    2.0: "each bar of {of} is then two",
    0.5: "two bars of {of} are then one",
}


class CountQuestion(NamedTuple):
    """Asked where twice or half the given tempo was said; with both answers, as buttons."""

    question: str
    as_said: str
    as_given: str


def count_question(take: Take) -> CountQuestion | None:
    """What is to be asked; None where nothing is, or where it was answered."""
    grid = (take.analysis or {}).get("grid")
    times = said_times(take)
    if take.counted_as_said or not grid or grid["known"] == ESTIMATED or times not in _TIMES:
        return None
    given, said = take.click["tempo"], take.said_tempo  # type: ignore[index]
    name = _name(take)
    bars = _BARS[times].format(of=name)
    return CountQuestion(
        f"{name.capitalize()} says {given:g}, and {said} was said. Is it counted "
        f"{_TIMES[times]}? If so, {bars}. Until that is answered it is read at {given:g}.",
        f"Yes, read it at {times * given:g}",
        f"No, keep {given:g}",
    )


def said_times(take: Take) -> float | None:
    """How many times as fast as given a take was said to be; None for another tempo, and where
    none was said or given."""
    if not (take.said_tempo and take.click):
        return None
    return counted_as(take.said_tempo, take.click["tempo"])


def grid_in_words(take: Take, found: dict[str, Any]) -> str:
    """Where the bar lines are from."""
    grid = found.get("grid")
    if not grid:
        return _without_grid(found)
    tempo, feel = f"{grid['tempo']:g}", by_feel(found)
    if grid["known"] != ESTIMATED:
        against = "the click" if grid["known"] == CLICK else "the grid of the file"
        return f"Held against {against}, at {tempo} quarters a minute{feel}.{_beside_said(take)}"
    if left := found.get("left"):
        name = _name(take)
        if left["beats"] and take.click:  # who waited played no slower
            tempo = f"{take.click['tempo']:g}"
        return f"Held against {name} at first, then against the strokes, at about {tempo}{feel}."
    drift = _drift(grid["drift"])
    goes = f"the strokes go at about {tempo} quarters a minute{drift}{feel}"
    if take.said_tempo:
        return f"Read at {take.said_tempo}, as was said: {goes}."
    if not take.click:
        return f"Without a click: {goes}."
    there = "the file’s own grid" if take.source == Take.Source.FILE else "the click"
    return f"The strokes do not follow {there}; they go at about {tempo}{drift}{feel}."


def left_in_words(take: Take, found: dict[str, Any]) -> str:
    """Where the strokes went off the click, and by how much; "" where they stayed."""
    left = found.get("left")
    if not left:
        return ""
    name = _name(take)
    if left["beats"]:
        off = f"the strokes are {_beats(abs(left['beats']))} off {name}"
        where = f"From bar {left['bar']}, beat {left['beat']} on {off}"
    else:
        late = "behind" if left["ms"] > 0 else "ahead of"
        where = (
            f"From bar {left['bar']} on the strokes leave {name}: at the end they are "
            f"{abs(left['ms']):.0f} ms {late} it"
        )
    return f"{where}. Bars and notes are read where they were played, not by {name}."


def _beats(number: float) -> str:
    """One of the quarters that are looked for, in words."""
    whole, part = divmod(number, 1)
    quarters = {0.25: "a quarter of", 0.5: "half", 0.75: "three quarters of"}
    if not part:
        return "one beat" if whole == 1 else f"{whole:g} beats"
    return f"{quarters[part]} a beat" if not whole else f"{number:g} beats"


def _beside_said(take: Take) -> str:
    """What became of the tempo that was said, where the given grid stays."""
    times = said_times(take)
    if times in _TIMES and take.counted_as_said:
        return f" It is counted {_TIMES[times]} as {_name(take)} says, as was said."
    if times == 1.0 and take.said_tempo != take.click["tempo"]:  # type: ignore[index]
        return f" {take.said_tempo} was said, and {_name(take)} is near it."
    return ""


def _name(take: Take) -> str:
    return "the file" if take.source == Take.Source.FILE else "the click"


def _without_grid(found: dict[str, Any]) -> str:
    strokes = found.get("strokes", 0)
    if not strokes and found.get("unknown"):
        return "No stroke is on a drum that is known here."
    if not strokes:
        return "There is no stroke in it."
    if strokes < FOR_A_TEMPO:
        return "There are too few strokes to make out a tempo."
    return "Too many strokes come at once to make out a tempo."


def _drift(share: float) -> str:
    percent = round(abs(share) * 100)
    if percent < 2:
        return ""
    return f", {percent} % {'faster' if share > 0 else 'slower'} at the end than at the start"
