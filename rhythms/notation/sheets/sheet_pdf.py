"""A sheet as a PDF, set by Typst. What people typed goes in as data, never as markup."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from json import dumps
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rhythms.engine import Fill, Surface
from rhythms.engine.fills.fill import HANDS
from rhythms.notation.engraving_error import EngravingError
from rhythms.notation.hat_signs import CLOSED, hat_signs
from rhythms.notation.late_import import LateImport
from rhythms.notation.sheets.sheet import Section, Sheet
from rhythms.notation.sheets.sheet_drawings import Drawing, fill_drawing, legend_drawing
from rhythms.notation.staff_placement import PLACEMENTS

if TYPE_CHECKING:
    import typst
else:
    typst = LateImport("typst")

#: Changes whenever the same sheet would look different, save for how fills are engraved.
PDF_VERSION = "pdf-3"

_TEMPLATE = Path(__file__).with_name("sheet.typ")
#: Up to so many fills are set one below the other, large.
_FEW = 3
#: A sheet holds no date but those in its words, so that the same sheet gives the same file.
_EPOCH = 0

#: Told how many fills are engraved, of how many.
Report = Callable[[int, int], object]


def pdf(sheet: Sheet, report: Report | None = None) -> bytes:
    """The sheet as a PDF; ``report(done, of)`` is called after each fill that is engraved.

    Raises EngravingError where a fill cannot be drawn or the sheet cannot be set.
    """
    drawings = _drawings(sheet, report or (lambda done, of: None))
    try:
        return typst.compile(
            str(_TEMPLATE),
            root=str(_TEMPLATE.parent),
            format="pdf",
            sys_inputs={"sheet": dumps(_data(sheet, drawings))},
            timestamp=_EPOCH,
        )
    except typst.TypstError as error:
        raise EngravingError("The sheet could not be set.") from error


def _drawings(sheet: Sheet, report: Report) -> Iterator[Drawing]:
    to_draw, drawn = list(sheet.drawn), []
    for number, exercise in enumerate(to_draw, start=1):
        drawn.append(fill_drawing(exercise.fill, counts=sheet.counts, feel=exercise.feel))
        report(number, len(to_draw))
    return iter(drawn)


def _data(sheet: Sheet, drawings: Iterator[Drawing]) -> dict[str, Any]:
    """What the template reads; the sections take their drawings in order."""
    fills = [exercise.fill for exercise in sheet.drawn]
    used = {surface for fill in fills for surface in fill.surfaces}
    return {
        "title": sheet.title,
        "lines": sheet.lines,
        "paper": sheet.paper,
        "days": sheet.days,
        "columns": 1 if len(list(sheet.exercises)) <= _FEW else 2,
        "sections": [_section(section, drawings) for section in sheet.sections],
        "key": [_key(surface) for surface in PLACEMENTS if surface in used],
        "signs": [*_signs(fills), *_swing(sheet)],
        "cautions": sheet.cautions,
    }


def _section(section: Section, drawings: Iterator[Drawing]) -> dict[str, Any]:
    return {
        "heading": section.heading,
        "lines": section.lines,
        "rules": section.rules,
        "groove": [{"label": bar.label} | next(drawings)._asdict() for bar in section.groove],
        "exercises": [
            {"label": exercise.label, "note": exercise.note} | next(drawings)._asdict()
            for exercise in section.exercises
        ],
    }


def _key(surface: Surface) -> dict[str, Any]:
    return {"name": PLACEMENTS[surface].name} | legend_drawing(surface)._asdict()


def _swing(sheet: Sheet) -> list[str]:
    """What the sign above a bar means, where there is one."""
    swung = any(exercise.swings for exercise in sheet.exercises)
    return ["notes above the bar: swing, of two the first is longer"] if swung else []


def _signs(fills: Iterable[Fill]) -> list[str]:
    """The signs that occur, in words."""
    hits = {hit for fill in fills for hit in fill.hits}
    ornaments = {stroke.ornament for fill in fills for stroke in fill.strokes}
    found = {hit.dynamic for hit in hits} | ornaments
    found |= {sign for fill in fills for sign in hat_signs(fill)}
    meanings = {
        "accent": "> accent",
        CLOSED: "+ hi-hat closed again",
        "ghost": "( ) ghost note, soft",
        "flam": "one small note: flam",
        "drag": "two small notes: drag",
        "diddle": "stroke through the stem: diddle",
        "buzz": "z on the stem: buzz, the stick bounces",
    }
    letters = ["R right hand, L left hand"] if any(hit.limb in HANDS for hit in hits) else []
    return letters + [words for sign, words in meanings.items() if sign in found]
