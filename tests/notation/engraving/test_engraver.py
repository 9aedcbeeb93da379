"""What the engraver makes of a fill: its times, its places on the staff, its failures."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

import pytest
import verovio
from hypothesis import given
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import EngravingError, svg
from rhythms.notation.engraving.cleaning import clean
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import mei
from rhythms.notation.staff_placement import PLACEMENTS
from tests.strategies import fills
from tests.thoroughness import examples

SVG = "{http://www.w3.org/2000/svg}"
HAND_OF_GRACES, GRACES = {"R": "L", "L": "R"}, {"flam": 1, "drag": 2}
MEI = "{http://www.music-encoding.org/ns/mei}"
#: In the drawing's units, half a staff space: from a line to the next space.
STEP = 90

few = examples(60)


@few
@given(fills(ornaments=False))
def test_the_engravers_own_clock_agrees_with_the_engine(fill):
    """Verovio works out times by itself; ``qstamp`` is quarters from the start."""
    toolkit = verovio.toolkit()
    toolkit.setOptions({"inputFrom": "mei"})
    assert toolkit.loadData(mei(fill, "p"))
    heard = {
        identity: Fraction(moment["qstamp"]).limit_denominator(96)
        for moment in toolkit.renderToTimemap()
        for identity in moment.get("on", ())
        if re.fullmatch(r"p-s\d+", identity)
    }
    assert heard == {f"p-s{note.index}": note.onset for note in fill.bar.sounded}


def heads(fill: Fill) -> list[tuple[int, int]]:
    """(x, y) of each stroke's notehead, by index."""
    root = etree.fromstring(svg(fill, prefix="p").encode())
    found = []
    for index in range(len(fill.strokes)):
        use = root.find(f".//{SVG}g[@id='p-s{index}']/{SVG}g/{SVG}use")
        x, y = re.match(r"translate\((\d+), (\d+)\)", use.get("transform")).groups()
        found.append((int(x), int(y)))
    return found


@pytest.mark.parametrize("surface", Surface)
def test_a_notehead_stands_where_the_table_says(surface):
    bar = Bar.from_counts("1 2 3 4")
    (_, snare), (_, other), *_ = heads(
        Fill(bar, (Stroke(Surface.SNARE), Stroke(surface), *[Stroke(Surface.SNARE)] * 2))
    )
    steps_up = PLACEMENTS[surface].loc - PLACEMENTS[Surface.SNARE].loc
    assert snare - other == steps_up * STEP


@few
@given(fills())
def test_what_sounds_later_stands_further_right(fill):
    places = [x for x, _ in heads(fill)]
    assert places == sorted(set(places))


def row(root: etree._Element, words: set[str]) -> list[etree._Element]:
    return [text for text in root.iter(f"{SVG}text") if text.text in words]


@few
@given(fills())
def test_sticking_is_one_straight_row_of_the_hands_in_order(fill):
    texts = row(etree.fromstring(svg(fill).encode()), {"R", "L"})
    texts.sort(key=lambda text: int(text.get("x")))
    assert "".join(text.text for text in texts) == "".join(
        HAND_OF_GRACES[stroke.limb] * GRACES.get(stroke.ornament, 0) + stroke.limb
        for stroke in fill.strokes
        if stroke.limb in ("R", "L")
    )
    assert len({text.get("y") for text in texts}) <= 1


def test_grace_notes_have_the_hand_that_plays_them_small_under_their_heads():
    """A flam's grace note and a drag's two are the other hand's (rudiments 20 and 31)."""
    bar = Bar.from_counts("1 2 3 4")
    dressed = (("R", "flam"), ("L", "drag"), (None, "flam"), ("R", None))
    strokes = (Stroke(Surface.SNARE, limb, ornament=ornament) for limb, ornament in dressed)
    root = etree.fromstring(svg(Fill(bar, tuple(strokes))).encode())
    texts = sorted(row(root, {"R", "L"}), key=lambda text: int(text.get("x")))
    assert "".join(text.text for text in texts) == "LRRRLR"
    sizes = [int(text.get("font-size")) for text in texts]
    assert [size < max(sizes) for size in sizes] == [True, False, True, True, False, False]


def test_counts_stand_in_a_row_below_the_sticking():
    bar = Bar.from_counts("1 e & a 2 trip let 3 4")
    fill = Fill(bar, (Stroke(Surface.SNARE, "R"),) * len(bar.sounded))
    root = etree.fromstring(svg(fill, counts=True).encode())
    counts = row(root, {"1", "e", "&", "a", "2", "trip", "let", "3", "4"})
    assert " ".join(text.text for text in counts) == "1 e & a 2 trip let 3 4"
    (below,) = {int(text.get("y")) for text in counts}
    (above,) = {int(text.get("y")) for text in row(root, {"R"})}
    assert above < below


def test_counts_without_a_stroke_stand_in_the_row_in_brackets_and_small():
    fill = snare_fill(Bar.from_counts("(1) & (2) 3 a 4 (trip) let"))
    root = etree.fromstring(svg(fill, counts=True).encode())
    texts = sorted(root.iter(f"{SVG}text"), key=lambda text: int(text.get("x")))
    assert " ".join(text.text for text in texts) == "(1) & (2) 3 (e) (&) a 4 (trip) let"
    assert len({text.get("y") for text in texts}) == 1
    sizes = {text.text[0] == "(": int(text.get("font-size")) for text in texts}
    assert sizes[True] < sizes[False]


@few
@given(fills())
def test_what_carries_a_count_alone_is_not_drawn(fill):
    """As many heads with counts as without them; so no rest is moved."""
    with_counts, without = (
        etree.fromstring(svg(fill, counts=counts).encode()) for counts in (True, False)
    )
    assert len(list(with_counts.iter(f"{SVG}use"))) == len(list(without.iter(f"{SVG}use")))


def test_two_bars_stand_on_lines_of_their_own_with_a_tie_between():
    fill = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 & | - & 2 e & a (3) & 4"))
    written = etree.fromstring(mei(fill, "p", counts=True).encode())
    assert len(written.findall(f".//{MEI}measure")) == 2
    assert len(written.findall(f".//{MEI}sb")) == 1
    drawn = etree.fromstring(svg(fill, prefix="p", counts=True).encode())
    strokes = [group for group in drawn.iter(f"{SVG}g") if group.get("class") == "stroke"]
    assert len(strokes) == len(fill.strokes)
    rows = sorted({int(text.get("y")) for text in drawn.iter(f"{SVG}text")})
    assert len(rows) == 2
    (tie,) = written.findall(f".//{MEI}tie")
    assert tie.get("endid") == "#p-s7-at-4"


@pytest.mark.parametrize(
    ("counts", "meter", "said"),
    [
        ("4 & | 1 2 & 3 4", "4/4", "4 & 1 2 & 3 4"),
        ("(4) & | 1 - 3 4", "4/4", "& 1 (2) 3 4"),
        ("(4) trip let | 1 2 3 4", "4/4", "(4) trip let 1 2 3 4"),
        ("6 | 1 2 3 4 5 6", "6/8", "6 1 2 3 4 5 6"),
        ("3 e & a 4 ta e ta & ta a ta | 1 - - -", "4/4",
            "3 e & a 4 ta e ta & ta a ta 1 (2) (3) (4)"),
    ],
)  # fmt: skip
def test_a_pickup_stands_before_the_bar_line_on_the_same_staff(counts, meter, said):
    fill = snare_fill(Bar.from_counts(counts, meter))
    root = etree.fromstring(svg(fill, prefix="p", counts=True).encode())
    texts = sorted(root.iter(f"{SVG}text"), key=lambda text: int(text.get("x")))
    assert " ".join(text.text for text in texts) == said
    assert len({text.get("y") for text in texts}) == 1
    strokes = [group for group in root.iter(f"{SVG}g") if group.get("class") == "stroke"]
    assert len(strokes) == len(fill.strokes)


def test_what_sounds_later_than_a_pickup_stands_further_right():
    fill = snare_fill(Bar.from_counts("4 & | 1 e & a 2 3 4"))
    across = [x for x, _ in heads(fill)]
    assert across == sorted(set(across))


@pytest.mark.parametrize(
    ("meter", "count"), [("7/8", "7"), ("7/8 (3+2+2)", "3+2+2"), ("5/4 (3+2)", "3+2")]
)
def test_groups_stand_in_the_meter(meter, count):
    bar = Bar.from_counts("1 2 3 4 5" + " 6 7" * meter.startswith("7"), meter)
    written = etree.fromstring(mei(snare_fill(bar), "p").encode())
    (sign,) = written.iter(f"{MEI}meterSig")
    assert sign.get("count") == count


@pytest.mark.parametrize(
    ("counts", "after"),
    [
        ("1 ta e ta & ta a ta", [3]),
        ("1 e & a ta", [1]),
        ("1 e & trip let", [1]),
        ("1 trip let & ta a ta", [2]),
        ("1 e & a", []),
    ],
)
def test_inner_beams_break_where_32nds_reach_an_eighth_and_at_tuplets(counts, after):
    """Common practice: groups of four under one beam."""
    written = etree.fromstring(mei(snare_fill(Bar.from_counts(counts, "1/4")), "p").encode())
    notes = list(written.iter(f"{MEI}note"))
    assert [place for place, note in enumerate(notes) if note.get("breaksec")] == after


@pytest.mark.parametrize(
    ("counts", "meter", "slashes", "rests"),
    [
        ("(1) (2) 3 & 4", "4/4", 2, 0),
        ("(1) - 3 & 4", "4/4", 2, 0),
        ("(1) (2) & 3 (4)", "4/4", 1, 2),
        ("1 (2) 3 4", "4/4", 0, 1),
        ("(1) 4 5 6", "6/8", 1, 0),
        ("(1) (2) (3) (4)", "4/4", 0, 4),
    ],
)
def test_whole_beats_of_groove_before_a_fill_have_a_slash_each(counts, meter, slashes, rests):
    fill = snare_fill(Bar.from_counts(counts, meter))
    written = etree.fromstring(mei(fill, "p", groove=True).encode())
    assert len(written.findall(f".//{MEI}note[@head.shape='slash']")) == slashes
    assert len(written.findall(f".//{MEI}rest")) == rests
    assert "slash" not in mei(fill, "p")


def test_a_bar_finer_than_counting_has_the_numbers_of_its_beats_alone():
    bar = Bar.from_json(
        {
            "meter": "2/4",
            "notes": [[str(Fraction(k, 12)), "1/12", "32nd triplet", ""] for k in range(24)],
        }
    )
    root = etree.fromstring(svg(snare_fill(bar), counts=True).encode())
    assert [text.text for text in root.iter(f"{SVG}text")] == ["1", "2"]


def test_a_letter_lights_with_its_stroke():
    fill = Fill(Bar.from_counts("1 2 3 4"), tuple(Stroke(Surface.SNARE, hand) for hand in "RLRL"))
    root = etree.fromstring(svg(fill, prefix="p").encode())
    groups = [root.find(f".//{SVG}g[@id='p-s{index}']") for index in range(4)]
    assert [group.findtext(f"{SVG}text") for group in groups] == ["R", "L", "R", "L"]


def test_threads_draw_what_one_alone_draws():
    fills = [
        snare_fill(Bar.from_counts(counts))
        for counts in ("1 2 3 4", "1 & 2 e & a 3 4", "1 trip let 2 3 4", "(1) & 2 & 3 4 e & a")
    ]
    alone = [svg(fill) for fill in fills]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(svg, fills * 25)) == alone * 25


@pytest.mark.parametrize("data", ["", "not MEI", "<mei><music></mei>"])
def test_what_the_engraver_cannot_read_is_an_error_and_not_an_empty_picture(data, capfd):
    with pytest.raises(EngravingError, match="could not read"):
        engrave(data, 700)


def test_an_empty_picture_is_an_error():
    with pytest.raises(EngravingError, match="drew nothing"):
        clean('<svg xmlns="http://www.w3.org/2000/svg" width="0px"/>', "p", "title", "words")
