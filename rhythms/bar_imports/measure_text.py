"""Where bars of a file stand, in words."""

from collections.abc import Iterable
from itertools import groupby

from rhythms.notation.reading import Reading, ReadMeasure


def where(reading: Reading, measures: Iterable[ReadMeasure]) -> str:
    """`Measures 1 to 3, 5`; with the part's name where the file has several."""
    phrases = []
    for part, group in groupby(measures, key=lambda measure: measure.part):
        numbers = list(dict.fromkeys(measure.number for measure in group))
        noun = "measure" if len(numbers) == 1 else "measures"
        named = f"{reading.parts[part] or f'Part {part + 1}'}, " if len(reading.parts) > 1 else ""
        phrases.append(f"{named}{noun} {', '.join(_runs(numbers))}")
    words = "; ".join(phrases)
    return words[:1].upper() + words[1:]


def notes(reading: Reading, measures: Iterable[ReadMeasure]) -> list[tuple[str, str]]:
    """What the reader remarked on these measures: where, and the words; the same words once."""
    by_word: dict[str, list[ReadMeasure]] = {}
    for measure in measures:
        for word in measure.words:
            by_word.setdefault(word, []).append(measure)
    return [(where(reading, group), word) for word, group in by_word.items()]


def _runs(numbers: list[str]) -> list[str]:
    """Neighbours joined: 1 2 3 5 -> `1 to 3`, `5`."""
    runs: list[list[str]] = []
    for number in numbers:
        if runs and _follows(runs[-1][-1], number):
            runs[-1].append(number)
        else:
            runs.append([number])
    return [word for run in runs for word in _run(run)]


def _follows(number: str, after: str) -> bool:
    return number.isdecimal() and after.isdecimal() and int(after) == int(number) + 1


def _run(run: list[str]) -> list[str]:
    return run if len(run) < 3 else [f"{run[0]} to {run[-1]}"]
