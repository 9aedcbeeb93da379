"""A fill as MEI, the open standard the engraver reads."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from itertools import zip_longest
from json import dumps

from rhythms.engine import Fill, Meter, Stroke, Surface
from rhythms.engine.fills.fill import other_hand
from rhythms.engine.playback.timeline import GRACES
from rhythms.notation.engraving.count_layer import CountWriter, silent_counts
from rhythms.notation.engraving.mei_layer import LayerWriter, Row, legend_note, make
from rhythms.notation.fill_text import ANSWER, answer_begins
from rhythms.notation.hat_signs import hat_signs
from rhythms.notation.layout.parts import measures
from rhythms.notation.staff_placement import from_the_top
from rhythms.notation.xml import etree, to_text


def prefix_of(fill: Fill, kind: str = "f") -> str:
    """A short id prefix that depends on the fill alone."""
    canonical = dumps(fill.to_json(), sort_keys=True, separators=(",", ":"))
    return kind + sha256(canonical.encode()).hexdigest()[:10]


#: Words over the beginning of a bar.
_OVER = {"staff": "1", "tstamp": "1", "place": "above"}
#: So many layers the engraver keeps apart by itself.
_KEPT_APART = 2


def mei(fill: Fill, prefix: str, *, counts: bool = False, groove: bool = False) -> str:
    """The fill as an MEI document, each bar on a line of its own; ids start with ``prefix``.

    A pick-up stands before the bar line of the first one.

    ``groove``: it goes on up to the fill, so that its whole beats have a slash each, and no
    rest. ``counts`` prints every count of the bar under it, in brackets where nothing is struck.
    """
    rows, signs = word_rows(fill, counts=counts), hat_signs(fill)
    beats = fill.bar.groove_beats if groove else ()
    written = []
    for number, parts in enumerate(measures(fill)):
        writers = [LayerWriter(part, prefix, rows, signs, beats) for part in parts]
        if counts and silent_counts(fill, number):
            writers.append(CountWriter(fill, prefix, len(rows), number))
        written += [make("sb")] * _breaks_before(fill.bar.meter, number)
        look = {"metcon": "false"} if fill.bar.meter.pickup and not number else {}
        answers = answer_begins(fill.bar, number)
        written.append(measure(writers, {"right": "single"} | look, answers=answers))
    return to_text(document(fill.bar.meter, *written))


def measure(
    writers: Sequence[LayerWriter], look: dict[str, str], *, answers: bool = False
) -> etree._Element:
    """The layers of one bar, or of a part of one; ``answers``: what is open for one begins here."""
    for writer in writers:
        writer.crowded = len(writers) > _KEPT_APART
    staff = make("staff", {"n": "1"}, *(writer.layer() for writer in writers))
    curves = [curve for writer in writers for curve in writer.curves]
    words = (make("dir", _OVER, ANSWER),) if answers else ()
    return make("measure", look, staff, *curves, *words)


def _breaks_before(meter: Meter, bar: int) -> bool:
    """Whether a line begins with this bar: not the one behind a pick-up.

    Without a break to go by the engraver would make its own between them.
    """
    return bar != 1 if meter.pickup else bar > 0


def legend_mei(surface: Surface) -> str:
    """One head of a surface on a staff of its own, without a meter."""
    note = legend_note(surface)
    staff = make("staff", {"n": "1"}, make("layer", {"n": "1"}, note))
    return to_text(document(None, make("measure", {"right": "invis"}, staff)))


def one_layer_mei(*symbols: etree._Element) -> str:
    """Symbols in a row on a staff of their own, without clef or meter."""
    staff = make("staff", {"n": "1"}, make("layer", {"n": "1"}, *symbols))
    return to_text(document(None, make("measure", {"right": "invis"}, staff)))


def document(meter: Meter | None, *bars: etree._Element, clef: bool = True) -> etree._Element:
    """Bars as an MEI document, with the signs that stand before them."""
    signs = [make("clef", {"shape": "perc"})] if clef else []
    if meter is not None:
        count = "+".join(map(str, meter.groups)) or str(meter.count)
        signs.append(make("meterSig", {"count": count, "unit": str(meter.unit)}))
    staff = make("staffDef", {"n": "1", "lines": "5"}, *signs)
    definition = make("scoreDef", None, make("staffGrp", None, staff))
    root = make("mei", {"meiversion": "5.0"}, _within("meiHead fileDesc titleStmt title"))
    root.append(_within("music body mdiv score", definition, make("section", None, *bars)))
    return root


def _within(path: str, *content: etree._Element) -> etree._Element:
    """Elements nested along a path, the content in the innermost."""
    *outer, innermost = path.split()
    made = make(innermost, None, *content)
    for name in reversed(outer):
        made = make(name, None, made)
    return made


def word_rows(fill: Fill, *, counts: bool) -> list[Row]:
    """The rows of text under the staff: sticking where hands are fixed, then counts.

    Of two hands at once, that of the higher head stands above the other.
    """
    sticking = (tuple(row) for row in zip_longest(*map(_hands, fill.strokes), fillvalue=""))
    rows = [row for row in sticking if any(row)]
    return [*rows, count_row(fill)] if counts else rows


def _hands(stroke: Stroke) -> list[str]:
    """Its hands, one a row; after those of its grace notes, which the other hand plays: ``lR``."""
    if stroke.by_foot:
        return [""]
    graces = GRACES.get(stroke.ornament or "", 0)
    hands = (hit.limb for hit in from_the_top(stroke.hand_hits))
    return [other_hand(hand).lower() * graces + hand if hand else "" for hand in hands]


def count_row(fill: Fill) -> Row:
    """What is counted at each stroke; in a beat finer than counting goes, only its number."""
    counts = dict(fill.bar.spoken)
    return tuple(counts.get(note.onset, "") for note in fill.bar.sounded)
