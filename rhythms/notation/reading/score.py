"""The measures of a MusicXML score, by music21 from text that was checked first.

The library is handed text, never a path: by path it keeps, and later unpickles, a cache.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

from music21 import articulations, converter, exceptions21, meter, note, stream
from music21.stream.enums import ShowNumber

from rhythms.engine import Meter
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.reading.checked_score import CheckedScore
from rhythms.notation.reading.counted_meter import counted_in
from rhythms.notation.reading.raw import RawMeasure, RawPart, Source, Strike, left_out
from rhythms.notation.reading.reading_error import ReadingError

_ACCENTS = (articulations.Accent, articulations.StrongAccent)

#: What each numbered note strikes.
_Struck = Sequence[Caught | None]
_REST, _STRUCK, _ACCENTED, _TIED = "rest", "struck", "accented", "tied"


class _Symbol(NamedTuple):
    """A note or rest of a voice, times in quarters from the bar line; what it strikes, if told."""

    onset: Fraction
    end: Fraction
    kind: str
    caught: tuple[Caught, ...] = ()


def source_of_score(score: CheckedScore) -> Source:
    """The parts for percussion, or all where there are none. Raises ReadingError."""
    found = list(_parsed(score.text).parts)
    chosen = [part for part in found if part.recurse().getElementsByClass(note.Unpitched)] or found
    parts = tuple(
        RawPart(
            part.partName or "",
            tuple(replace(raw, counted=score.counted) for raw in _measures(part, score.struck)),
        )
        for part in chosen
    )
    return Source(score.title, parts, score.words + left_out(len(found) - len(chosen)))


def _parsed(text: str) -> Any:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of instruments and styles, which are not looked at
            return converter.parseData(text, format="musicxml")
    except exceptions21.Music21Exception as error:
        raise ReadingError("not-a-score", f"The score cannot be read: {error}.") from error
    except (ValueError, TypeError, AttributeError, LookupError, ArithmeticError) as error:
        # The library trusts that a file says what the standard asks for.
        raise ReadingError(
            "not-a-score",
            "The score says things that MusicXML does not allow. Export it once more.",
        ) from error


def _measures(part: Any, struck: _Struck) -> Iterator[RawMeasure]:
    signed: Meter | None = Meter(4, 4)
    words: tuple[str, ...] = ()
    for measure in part.getElementsByClass(stream.Measure):
        if measure.timeSignature is not None:
            signed, words = _counted(measure.timeSignature)
        yield _raw(measure, signed, words, struck)


def _counted(signature: meter.TimeSignature) -> tuple[Meter | None, tuple[str, ...]]:
    """Of ``3+2+2/8`` the library has three terms."""
    terms = [(term.numerator, term.denominator) for term in signature.displaySequence]
    units = {unit for _, unit in terms}
    if len(units) != 1:
        return None, (f"{signature.ratioString} is not a meter this tool counts.",)
    return counted_in([count for count, _ in terms], units.pop())


def _raw(measure: Any, signed: Meter | None, words: tuple[str, ...], struck: _Struck) -> RawMeasure:
    """All voices together: they share one line of strikes."""
    found = sorted(_symbols(measure, struck), key=lambda symbol: symbol.onset)
    strikes: dict[Fraction, Strike] = {}
    held = Fraction(0)
    for symbol in found:
        if symbol.kind == _TIED and symbol.onset == held:
            held = symbol.end
        elif symbol.kind == _TIED:
            _hold(strikes, symbol)
        elif symbol.kind != _REST:
            known = strikes.get(symbol.onset, Strike(symbol.onset, symbol.end))
            strikes[symbol.onset] = Strike(
                symbol.onset,
                max(known.end, symbol.end),
                known.accent or symbol.kind == _ACCENTED,
                known.caught + symbol.caught,
            )
    return RawMeasure(
        number=str(measure.number) + (measure.numberSuffix or ""),
        meter=signed,
        length=max((symbol.end for symbol in found), default=Fraction(0)),
        strikes=tuple(strikes.values()),
        rests=tuple(symbol.onset for symbol in found if symbol.kind == _REST),
        held=held,
        words=words,
        uncounted=measure.showNumber == ShowNumber.NEVER,
    )


def _hold(strikes: dict[Fraction, Strike], tied: _Symbol) -> None:
    """Let the note that ends where a tied one begins go on; without one it is struck.

    What is struck with that note may last longer: a foot under it does.
    """
    before = [strike for strike in strikes.values() if strike.onset < tied.onset <= strike.end]
    if not before:
        strikes.setdefault(tied.onset, Strike(tied.onset, tied.end, caught=tied.caught))
        return
    going_on = max(before, key=lambda strike: (strike.end == tied.onset, strike.onset))
    strikes[going_on.onset] = replace(going_on, end=max(going_on.end, tied.end))


def _symbols(measure: Any, struck: _Struck) -> Iterator[_Symbol]:
    for voice in measure.voices or [measure]:
        for found in voice.notesAndRests:
            if not found.duration.isGrace:
                onset = Fraction(found.offset) + Fraction(voice.offset if measure.voices else 0)
                end = onset + Fraction(found.quarterLength)
                numbers = [int(lyric.text) for lyric in found.lyrics]
                caught = tuple(one for number in numbers if (one := struck[number]))
                yield _Symbol(onset, end, _kind(found), caught)


def _kind(found: Any) -> str:
    if found.isRest:
        return _REST
    notes = list(found.notes) if found.isChord else [found]
    if all(each.tie is not None and each.tie.type != "start" for each in notes):
        return _TIED
    marked = any(isinstance(mark, _ACCENTS) for mark in found.articulations)
    return _ACCENTED if marked else _STRUCK
