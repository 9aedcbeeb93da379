"""Marks on the notes of an engraving."""

from fractions import Fraction

import pytest
from lxml import etree

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.fills.ostinato import FootHit, Ostinato, ostinato
from rhythms.notation import svg
from rhythms.notation.engraving.marking import marked

SVG = "{http://www.w3.org/2000/svg}"
FLAMS = [{"rule": "ornament", "ornament": "flam", "values": ["16th"]}]
OUTCOMES = ["right", "missed", "wrong"] * 4


def drawn(rules=(), outcomes=OUTCOMES):
    bar = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
    fill = FillSpace(bar, RuleSet.from_json(list(rules)), Kit.standard()).fill(987_654)
    return etree.fromstring(marked(svg(fill, prefix="x"), "x", outcomes))


def box(root) -> tuple[float, float, float, float]:
    x, y, width, height = (float(number) for number in root.get("viewBox").split())
    return x, y, x + width, y + height


def centre(shape) -> tuple[float, float]:
    if shape.tag == f"{SVG}circle":
        return float(shape.get("cx")), float(shape.get("cy"))
    side = float(shape.get("width")) / 2
    return float(shape.get("x")) + side, float(shape.get("y")) + side


def test_each_outcome_has_a_shape_of_its_own():
    root = drawn()
    shapes = {
        name: sorted(
            {shape.tag.removeprefix(SVG) for shape in root.iterfind(f".//*[@class='{name}']")}
        )
        for name in ("mark mark-right", "mark mark-missed", "mark mark-wrong")
    }
    assert shapes == {
        "mark mark-right": ["path"],
        "mark mark-missed": ["circle"],
        "mark mark-wrong": ["path", "rect"],
    }


def test_every_stroke_is_marked_once_in_the_row_below_and_errors_at_the_head_too():
    root = drawn()
    for index, outcome in enumerate(OUTCOMES):
        (group,) = root.iterfind(f".//*[@id='x-s{index}']")
        marks = [each for each in group if "mark" in (each.get("class") or "")]
        assert len(marks) == (1 if outcome == "right" else 2)
        assert f"played-{outcome}" in group.get("class")


@pytest.mark.parametrize("counts", [True, False])
def test_each_line_of_bars_has_its_own_row_of_signs(counts):
    """Of a fill of two bars those of the first stand between its letters and the second bar."""
    bar = Bar.from_counts("1 2 3 4 | 1 & 2 & 3 & 4 &")
    drawing = svg(snare_fill(bar), prefix="x", counts=counts)
    root = etree.fromstring(marked(drawing, "x", ["right"] * len(bar.sounded)))
    signs = [
        float(sign.get("d").split()[1]) for sign in root.iterfind(".//*[@class='mark mark-right']")
    ]
    first, second = set(signs[:4]), set(signs[4:])
    assert (len(signs), len(first), len(second)) == (12, 1, 1)
    heads = [
        float(use.get("transform").split(",")[1].split(")")[0])
        for use in root.iter(f"{SVG}use")
        if use.get("href").endswith("E0A4")
    ]
    assert min(heads) < min(first) < max(heads) < min(second)
    words = sorted({float(text.get("y")) for text in root.iter(f"{SVG}text")})
    assert not words or words[0] < min(first) < words[-1] < min(second)


def test_rings_and_boxes_stand_round_the_head_of_the_stroke_not_of_its_grace_note():
    root = drawn(FLAMS)
    for index, outcome in enumerate(OUTCOMES):
        if outcome == "right":
            continue
        (group,) = root.iterfind(f".//*[@id='x-s{index}']")
        head = group.find(f".//{SVG}use").get("transform")
        x, y = (float(part) for part in head[head.index("(") + 1 : head.index(")")].split(","))
        shape = [each for each in group if each.tag in (f"{SVG}circle", f"{SVG}rect")][-1]
        assert abs(centre(shape)[0] - x) < 150
        assert centre(shape)[1] == y


def test_nothing_stands_outside_the_picture():
    root = drawn(FLAMS)
    left, top, right, bottom = box(root)
    for shape in root.iter(f"{SVG}circle", f"{SVG}rect"):
        x, y = centre(shape)
        assert left <= x <= right
        assert top <= y <= bottom


def test_a_stroke_without_an_outcome_stays_plain():
    root = drawn(outcomes=["right"])
    assert len(root.findall(".//*[@class='mark mark-right']")) == 1


def test_marks_have_no_colour_and_no_style_of_their_own():
    for each in drawn().iter():
        assert each.get("style") is None
        assert each.get("stroke") in (None, "currentColor")


SNARE, TOM, FOOT = Surface.SNARE, Surface.FLOOR_TOM, Surface.BASS_DRUM
ALL_AT_ONCE = stroke_of([Hit(SNARE), Hit(TOM), Hit(FOOT, "RF")])


def marks_of(outcome: dict[Surface, str], ostinato: Ostinato | None = None) -> dict[str, list]:
    """The classes of the marks round heads and in the row, by the id of what holds them."""
    fill = Fill(Bar.from_counts("1", "1/4"), (ALL_AT_ONCE,), ostinato)
    root = etree.fromstring(marked(svg(fill, prefix="x"), "x", [outcome]))
    found: dict[str, list] = {}
    for shape in root.iter():
        if (name := shape.get("class") or "").startswith("mark "):
            found.setdefault(shape.getparent().get("id"), []).append(
                name.removeprefix("mark mark-")
            )
    return found


def test_of_several_limbs_each_head_has_its_mark_and_the_row_the_worst():
    assert marks_of({SNARE: "right", TOM: "wrong", FOOT: "missed"}) == {
        "x-s0": ["missed"],
        "x-s0-floor-tom": ["wrong"],
        "x-s0-feet": ["missed"],
    }
    assert marks_of({SNARE: "right", TOM: "right", FOOT: "right"}) == {"x-s0": ["right"]}


def test_the_foot_of_a_stroke_is_marked_beside_one_that_keeps_going():
    hat = ostinato("mine", Meter(1, 4), [FootHit(Fraction(0), Surface.HI_HAT_FOOT)])
    missed = marks_of({SNARE: "right", TOM: "right", FOOT: "missed"}, hat)
    assert missed == {"x-s0": ["missed"], "x-s0-feet-bass-drum": ["missed"]}


def test_a_part_to_play_again_has_a_bar_under_what_it_is_for():
    fill = snare_fill(Bar.from_counts("1 2 3 4"))
    root = etree.fromstring(marked(svg(fill, prefix="x"), "x", ["", "around", "again", "around"]))
    classes = [group.get("class", "") for group in root.iter() if "-s" in (group.get("id") or "")]
    assert [name.split()[-1] for name in classes if "played-" in name] == [
        "played-around",
        "played-again",
        "played-around",
    ]
    assert len(root.findall(".//*[@class='mark mark-again']")) == 1
