"""What of a MusicXML score is read: checked, and without the rest, before its library is loaded."""

from __future__ import annotations

from typing import NamedTuple

from lxml import etree

from rhythms.engine import Bar
from rhythms.engine.bars.feel import EIGHTHS, SIXTEENTHS, Feel, FeelError
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.count_line_text import NAME, bar_of_line
from rhythms.notation.reading.foot_notes import leave_feet_out
from rhythms.notation.reading.limits import MOST_MEASURES_IN_FILE, MOST_NOTES, MOST_PARTS
from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.safe_xml import parse
from rhythms.notation.reading.struck_notes import number_notes
from rhythms.notation.xml import to_text

#: What of a measure says when something sounds; all else is left out before reading.
_KEPT_IN_MEASURES = {"attributes", "note", "backup", "forward"}
_KEPT_IN_NOTES = {
    *("grace", "chord", "pitch", "unpitched", "rest", "duration", "tie", "voice", "type", "dot"),
    *("time-modification", "notations", "staff", "lyric"),
}
_KEPT_IN_NOTATIONS = {"tied", "articulations"}
_KEPT_IN_SCORES = {"work", "movement-title", "part-list", "part"}
_NO_SCORE = "The file is XML, but no score. Export MusicXML from your notation program."
_TIMEWISE = (
    "The score is written measure by measure (score-timewise). Export it as “partwise” MusicXML."
)


class CheckedScore(NamedTuple):
    """A score within the limits: its XML without what says nothing of the rhythm.

    `struck` says what its notes strike, by the numbers that stand as their lyrics. `counted` is the
    bar of one of our own files; `words` say what was left out.
    """

    title: str
    text: str
    struck: tuple[Caught | None, ...]
    counted: Bar | None
    words: tuple[str, ...]


def checked(data: bytes, *, hands_only: bool = False) -> CheckedScore:
    """The score in the data. Raises ReadingError."""
    root = parse(data)
    _check(root)
    counted = _count_line(root)
    feels = _feels(root)
    struck = number_notes(root)
    _strip(root)
    words = leave_feet_out(root, struck) if hands_only else ()
    return CheckedScore(_title(root), to_text(root), struck, counted, feels + words)


def _check(root: etree._Element) -> None:
    if root.tag != "score-partwise":
        raise ReadingError("not-a-score", _TIMEWISE if root.tag == "score-timewise" else _NO_SCORE)
    notes = sum(1 for _ in root.iter("note"))
    if notes > MOST_NOTES:
        raise ReadingError(
            "too-many-notes",
            f"The score has {notes:,} notes; up to {MOST_NOTES:,} are read at a time. "
            "Export only the part or the pages that you want.",
        )
    measures = sum(1 for _ in root.iter("measure"))
    if measures > MOST_MEASURES_IN_FILE:
        raise ReadingError(
            "too-many-measures",
            f"The score has {measures:,} measures; up to {MOST_MEASURES_IN_FILE:,} are looked "
            "through. Export only the part or the pages that you want.",
        )
    parts = len(root.findall("part"))
    if parts > MOST_PARTS:
        raise ReadingError(
            "too-many-parts",
            f"The score has {parts} parts; up to {MOST_PARTS} are read. Export the drum part.",
        )


def _strip(root: etree._Element) -> None:
    """Leave out what says nothing of the rhythm; it would only take memory."""
    for parent, kept in (
        (None, _KEPT_IN_SCORES),
        ("score-part", {"part-name"}),
        ("measure", _KEPT_IN_MEASURES),
        ("note", _KEPT_IN_NOTES),
        ("notations", _KEPT_IN_NOTATIONS),
    ):
        for element in [root] if parent is None else list(root.iter(parent)):
            for child in list(element):
                if child.tag not in kept:
                    element.remove(child)


def _count_line(root: etree._Element) -> Bar | None:
    """Of our own files, which have one measure."""
    for field in root.iterfind("identification/miscellaneous/miscellaneous-field"):
        if field.get("name") == NAME:
            return bar_of_line(field.text or "")
    return None


def _feels(root: etree._Element) -> tuple[str, ...]:
    """What is said of the swing a file asks for: a bar of the library has none."""
    for swing in root.iter("swing"):
        first, second = swing.findtext("first", ""), swing.findtext("second", "")
        unit = SIXTEENTHS if swing.findtext("swing-type") == "16th" else EIGHTHS
        if first.isdecimal() and second.isdecimal() and 0 < len(first + second) < 9:
            return _said(int(first), int(second), unit)
    return ()


def _said(first: int, second: int, unit: str) -> tuple[str, ...]:
    try:
        feel = Feel(round(100 * first / (first + second)), unit)
    except (FeelError, ZeroDivisionError):
        return (f"The file asks for a swing of {first} to {second}, which is not played here.",)
    if feel.is_straight:
        return ()
    return (f"The file asks for {feel.in_full}. Choose that where you assign the bar.",)


def _title(root: etree._Element) -> str:
    heading = root.findtext("work/work-title") or root.findtext("movement-title") or ""
    return " ".join(heading.split())[:200]
