"""Practice sheets, opened by pdfium, a general-purpose library: what stands on which page."""

from __future__ import annotations

import re

import pypdfium2
import pytest
from hypothesis import given

from rhythms.engine import Bar, Fill, Kit, RuleSet, Stroke, Surface
from rhythms.engine.bars.feel import Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.space.fill_space import FillSpace
from rhythms.notation.sheets import PAPERS, Exercise, Section, Sheet, pdf
from tests.strategies import fills
from tests.thoroughness import examples

BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
#: ISO 216 (A4: 210 x 297 mm) and ANSI Y14.1 (Letter: 8.5 x 11 inches), in points of 1/72 inch.
SIZES = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def some_fills(n: int) -> list[Fill]:
    rules = RuleSet.from_json([{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}])
    return FillSpace(BAR, rules, Kit.standard()).sample(n, 1)


def sheet_of(*shown: Fill, **details) -> Sheet:
    exercises = tuple(Exercise(f"Fill {n}", fill) for n, fill in enumerate(shown, start=1))
    section = Section("Eighths stay", exercises, ("Tempo 80.",), ("Eighths go on the snare.",))
    return Sheet("Line 4", (section,), ("For Mira.",), **details)


def pages_of(sheet: Sheet) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf(sheet))]


def text_of(sheet: Sheet) -> str:
    """The words of the sheet, however its lines are broken."""
    return " ".join(" ".join(pages_of(sheet)).split())


def test_what_the_sign_of_a_swing_means_stands_with_the_signs():
    (fill,) = some_fills(1)
    meaning = "notes above the bar: swing, of two the first is longer"
    section = Section("Swung", (Exercise("Fill 1", fill, feel=Feel(62)),))
    assert meaning in text_of(Sheet("Line 4", (section,)))
    assert "62 %" in text_of(Sheet("Line 4", (section,)))
    assert meaning not in text_of(sheet_of(fill))


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_of_the_paper(paper):
    document = pypdfium2.PdfDocument(pdf(sheet_of(*some_fills(24), paper=paper)))
    for page in document:
        assert page.get_size() == pytest.approx(SIZES[paper], abs=0.01)


def test_a_paper_that_nobody_sells_is_refused():
    with pytest.raises(ValueError, match="a4, us-letter"):
        sheet_of(paper="a4-ish")


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_says_which_it_is_of_how_many(paper):
    pages = pages_of(sheet_of(*some_fills(24), paper=paper))
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page


def test_every_fill_has_a_box_for_each_of_seven_days():
    text = text_of(sheet_of(*some_fills(24)))
    assert text.count(" ".join(DAYS)) == 24
    assert [int(number) for number in re.findall(r"Fill (\d+)", text)] == list(range(1, 25))


def test_the_sheet_says_how_to_play_and_what_the_rules_are():
    text = text_of(sheet_of(*some_fills(2)))
    for words in ("Line 4", "For Mira.", "Tempo 80.", "Eighths go on the snare."):
        assert words in text


def test_the_key_names_each_surface_once():
    bar = Bar.from_counts("1 2 3 4")
    surfaces = (Surface.SNARE, Surface.RIDE_BELL, Surface.CHINA, Surface.SNARE)
    text = text_of(sheet_of(Fill(bar, tuple(map(Stroke, surfaces)))))
    assert [text.count(name) for name in ("Snare", "Ride bell", "China", "Cowbell")] == [1, 1, 1, 0]


@pytest.mark.parametrize(
    ("stroke", "words"),
    [
        (Stroke(Surface.SNARE, dynamic="ghost"), "ghost note"),
        (Stroke(Surface.SNARE, dynamic="accent"), "> accent"),
        (Stroke(Surface.SNARE, ornament="flam"), "one small note: flam"),
        (Stroke(Surface.SNARE, ornament="drag"), "two small notes: drag"),
        (Stroke(Surface.SNARE, ornament="diddle"), "stroke through the stem: diddle"),
        (Stroke(Surface.SNARE, ornament="buzz"), "z on the stem: buzz, the stick bounces"),
        (Stroke(Surface.RIM_SHOT), "Rim shot"),
        (Stroke(Surface.OPEN_HI_HAT), "Open hi-hat"),
        (Stroke(Surface.SNARE, "L"), "R right hand, L left hand"),
    ],
)
def test_a_sign_is_explained_where_it_occurs_and_only_there(stroke, words):
    bar = Bar.from_counts("1 2 3 4")
    plain = Stroke(Surface.SNARE)
    assert words in text_of(sheet_of(Fill(bar, (stroke, plain, plain, plain))))
    assert words not in text_of(sheet_of(Fill(bar, (plain,) * 4)))


def test_what_closes_an_open_hi_hat_is_explained_where_something_does():
    bar, said = Bar.from_counts("1 2 3 4"), "+ hi-hat closed again"
    opened, closed = Stroke(Surface.OPEN_HI_HAT), Stroke(Surface.HI_HAT)
    assert said in text_of(sheet_of(Fill(bar, (opened, closed, closed, closed))))
    assert said not in text_of(sheet_of(Fill(bar, (closed, closed, closed, opened))))


def test_sticking_stands_under_the_notes():
    strokes = tuple(Stroke(Surface.SNARE, hand) for hand in "RLRR")
    assert "R L R R" in text_of(sheet_of(Fill(Bar.from_counts("1 2 3 4"), strokes)))


def test_the_count_line_stands_under_the_notes_on_request_only():
    fill = snare_fill(BAR)
    counted = "1 & 2 e & a 3 & 4 e & a"
    assert counted in text_of(sheet_of(fill, counts=True))
    assert counted not in text_of(sheet_of(fill))


def test_cautions_stand_on_the_sheet():
    text = text_of(sheet_of(*some_fills(1), cautions=(("Ears.", "Protect your ears."),)))
    assert "Ears. Protect your ears." in text


def test_what_a_person_typed_is_never_markup():
    typed = '#import "x.typ" $a^2$ *bold* _it_ <b> @me \\ "quoted" #{ panic() }'
    section = Section(typed, (Exercise(typed, snare_fill(BAR), typed),), (typed,), (typed,))
    text = text_of(Sheet(typed, (section,), (typed,), cautions=((typed, typed),)))
    # Where the line breaks, and how quotes are set, is the typesetter's business.
    wanted = " ".join(typed.replace('"', "").split())
    assert re.sub('["“”]', "", text).count(wanted) >= 6


def test_words_in_other_scripts_do_not_stop_the_press():
    assert pdf(sheet_of(*some_fills(1))) != pdf(Sheet("練習 🥁 Żółć", ()))


def test_a_sheet_without_fills_is_still_a_page():
    assert pages_of(Sheet("Nothing yet", ()))[0].startswith("Nothing yet")


def test_the_same_sheet_gives_the_same_file():
    sheet = sheet_of(*some_fills(3), counts=True)
    assert pdf(sheet) == pdf(Sheet.from_json(sheet.to_json()))


def test_engraving_is_reported_fill_by_fill():
    progress = []
    pdf(sheet_of(*some_fills(3)), lambda done, of: progress.append((done, of)))
    assert progress == [(1, 3), (2, 3), (3, 3)]


@examples(15)
@given(fills())
def test_any_fill_can_be_printed(fill):
    """Also those so wide that they take the whole line of a sheet with two columns."""
    sheet = sheet_of(*some_fills(4), fill, counts=True)
    assert "Fill 5" in text_of(sheet)
    assert Sheet.from_json(sheet.to_json()) == sheet
