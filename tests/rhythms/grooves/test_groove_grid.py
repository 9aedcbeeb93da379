"""The grid of the groove editor says the same as its lines."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Meter, Surface
from rhythms.engine.playback.groove_library import patterns
from rhythms.engine.playback.groove_line import LineHit, read_line, spell_line
from rhythms.grooves.groove_draft import SETUP, GrooveDraft
from rhythms.grooves.groove_grid import SILENT, groove_grid, turned
from tests.thoroughness import examples

ROUND = (SILENT, "normal", "accent", "ghost")
SIXTEENTHS = [Fraction(k, 4) for k in range(16)]
#: What a drum plays, by onset.
dynamics = st.dictionaries(st.sampled_from(SIXTEENTHS), st.sampled_from(ROUND[1:]), max_size=8)


def draft(meter: str = "4/4", **lines: str) -> GrooveDraft:
    typed = {f"line-{drum.replace('_', '-')}": text for drum, text in lines.items()}
    return GrooveDraft.typed(typed | {"meter": meter})


def struck(grid) -> dict[Surface, list[tuple[Fraction, str]]]:
    found: dict[Surface, list[tuple[Fraction, str]]] = {}
    for beat in grid.beats:
        for row in beat.rows:
            found.setdefault(row.drum, []).extend(
                (place.onset, place.kind) for place in row.places if place.kind != SILENT
            )
    return {drum: places for drum, places in found.items() if places}


def as_draft(pattern) -> GrooveDraft:
    return GrooveDraft(str(pattern.meter), pattern.lines, pattern.setup)


def test_the_grid_of_every_groove_has_all_that_its_lines_have():
    wrong = [
        pattern.name
        for pattern in patterns()
        if struck(groove_grid(as_draft(pattern)))
        != {
            drum: [(hit.onset, hit.dynamic) for hit in read_line(text, _meter(pattern))]
            for drum, text in pattern.lines.items()
        }
    ]
    assert wrong == []


def _meter(pattern) -> Meter:
    return pattern.meter.over(pattern.bars)


def test_a_beat_is_as_fine_as_its_lines_need_or_as_chosen():
    typed = draft(hi_hat="1 & 2 & 3 4", snare="4 a")
    assert [beat.division for beat in groove_grid(typed).beats] == [
        "eighths", "eighths", "quarter", "16ths",
    ]  # fmt: skip
    chosen = ("16ths", "triplets", "eighths", "quarter")
    assert [beat.division for beat in groove_grid(typed, chosen).beats] == [
        "16ths", "eighths", "eighths", "16ths",
    ]  # fmt: skip


@pytest.mark.parametrize("nonsense", [("",), ("polka",), ("16ths",) * 99])
def test_whatever_is_chosen_there_is_a_grid(nonsense):
    assert len(groove_grid(draft(snare="2 4"), nonsense).beats) == 4


def test_two_bars_have_the_beats_of_both():
    grid = groove_grid(draft(snare="2 | 4"))
    assert [beat.title for beat in grid.beats][::4] == ["Bar 1, beat 1", "Bar 2, beat 1"]
    assert struck(grid) == {Surface.SNARE: [(1, "normal"), (7, "normal")]}


@pytest.mark.parametrize(
    "typed", [draft(snare="2 x"), draft("9/9", snare="2"), draft(hi_hat="1 e & a", snare="1 ka")]
)
def test_what_cannot_be_read_leaves_the_last_grid(typed):
    assert groove_grid(typed) is None


@pytest.mark.parametrize(
    ("line", "turns", "after"),
    [
        ("2", ["snare 3"], "2 4"),
        ("2 4", ["snare 3"], "2 4>"),
        ("2 4>", ["snare 3"], "2 4<"),
        ("2 4<", ["snare 3"], "2"),
        ("2", ["snare 1"] * 4, "2"),
        ("", ["snare 0", "snare 0", "snare 7/2"], "1> (4) &"),
        ("2", ["snare 1", "snare 1", "snare 1"], ""),
    ],
)
def test_a_touch_turns_a_place(line, turns, after):
    assert turned(draft(snare=line), turns) == {Surface.SNARE: after}


@pytest.mark.parametrize(
    "turn", ["", "snare", "gong 1", "snare x", "snare 1/0", "snare -1", "snare 1/3/4", "\x00 1"]
)
def test_what_names_no_place_is_left(turn):
    assert turned(draft(snare="2"), [turn]) == {}


def test_a_line_that_cannot_be_read_is_left_for_whoever_typed_it():
    assert turned(draft(snare="2 x", hi_hat="1"), ["snare 1", "hi-hat 1"]) == {
        Surface.HI_HAT: "1 2"
    }


def test_a_place_after_the_bars_is_none():
    assert turned(draft(snare="2"), ["snare 99"]) == {Surface.SNARE: "2"}


@examples(200)
@given(st.lists(st.sampled_from([Fraction(k, 4) for k in range(16)]), max_size=12))
def test_touches_add_up_place_by_place(onsets):
    """A place that was touched n times is as n times round silent, struck, accented, soft."""
    line = turned(draft(), [f"snare {onset}" for onset in onsets]).get(Surface.SNARE, "")
    round_of = (SILENT, "normal", "accent", "ghost")
    wanted = {on: round_of[onsets.count(on) % 4] for on in onsets if onsets.count(on) % 4}
    hits = {hit.onset: hit.dynamic for hit in read_line(line, Meter(4, 4))} if line else {}
    assert hits == wanted


class TestTheBarThatLeadsIn:
    LINES = {"hi_hat": "1 & 2 & 3 & 4 &", "snare": "2 4", "bass_drum": "1 3"}

    def draft(self, **setup: str) -> GrooveDraft:
        lines = {f"line-{drum.replace('_', '-')}": text for drum, text in self.LINES.items()}
        own = {f"setup-{drum.replace('_', '-')}": text for drum, text in setup.items()}
        return GrooveDraft.typed(lines | own | {"meter": "4/4"})

    def test_the_grid_has_what_every_groove_plays_before_a_fill(self):
        wrong = [
            pattern.name
            for pattern in patterns()
            if struck(groove_grid(as_draft(pattern), part=SETUP))
            != {
                drum: [(hit.onset, hit.dynamic) for hit in hits]
                for drum, hits in pattern.leading_in(0).items()
                if hits
            }
        ]
        assert wrong == []

    def test_its_beats_are_named_apart_and_what_is_chosen_and_touched_too(self):
        grid = groove_grid(draft(snare="2 | 4"), part=SETUP)
        assert [beat.title for beat in grid.beats] == [
            f"Leading in, beat {n}" for n in (1, 2, 3, 4)
        ]
        assert grid.prefix == "setup-"

    def test_it_is_said_which_drums_go_on_as_in_the_groove(self):
        rows = groove_grid(self.draft(snare="4>"), part=SETUP).beats[0].rows
        assert {row.drum for row in rows if not row.goes_on} == {Surface.SNARE}

    def test_a_drum_that_is_struck_there_alone_has_a_row(self):
        rows = groove_grid(self.draft(crash="4"), part=SETUP).beats[0].rows
        assert Surface.CRASH in [row.drum for row in rows]
        rows = groove_grid(self.draft(crash="4")).beats[0].rows
        assert Surface.CRASH not in [row.drum for row in rows]

    @pytest.mark.parametrize("setup", [{"snare": "2 x"}, {"snare": "1 | 2"}, {"snare": "1 ka"}])
    def test_what_cannot_be_read_leaves_its_last_grid_and_not_that_of_the_groove(self, setup):
        assert groove_grid(self.draft(**setup), part=SETUP) is None
        assert groove_grid(self.draft(**setup)) is not None

    @pytest.mark.parametrize(
        ("setup", "turns", "after"),
        [
            ("", ["snare 7/2"], "2 4 &"),
            ("", ["snare 3"], "2 4>"),
            ("", ["snare 3", "snare 3", "snare 3"], "2"),
            ("", ["snare 1"] * 3 + ["snare 3"] * 3, "(1)"),
            ("", ["snare 1"] * 4, ""),
            ("(1)", ["snare 1", "snare 3"], ""),
            ("2 4 &", ["snare 7/2"] * 3, ""),
            ("4>", ["snare 2"], "3 4>"),
        ],
    )
    def test_a_touch_begins_with_what_the_groove_plays_and_back_there_the_line_ends(
        self, setup, turns, after
    ):
        assert turned(self.draft(snare=setup), turns, SETUP) == {Surface.SNARE: after}

    def test_where_the_bars_of_a_groove_differ_one_of_them_has_to_be_written(self):
        of_two = draft(snare="2 | 4")
        assert turned(of_two, ["snare 1"] * 4, SETUP) == {Surface.SNARE: "2"}

    def test_the_groove_keeps_its_own_lines(self):
        assert turned(self.draft(), ["snare 0"], SETUP) == {Surface.SNARE: "1 2 4"}
        assert turned(self.draft(snare="4"), ["snare 0"]) == {Surface.SNARE: "1 2 4"}

    @examples(200)
    @given(dynamics, dynamics)
    def test_what_is_touched_is_what_the_grid_then_has(self, typed, touches):
        """Each place that was touched n times is n turns further than what was played there."""
        line = spell_line([LineHit(on, how) for on, how in typed.items()], Meter(4, 4))
        before = self.draft(snare=line)
        turns = [f"snare {on}" for on, how in touches.items() for _ in range(ROUND.index(how))]
        after = self.draft(snare=turned(before, turns, SETUP).get(Surface.SNARE, line))
        had, has = (struck(groove_grid(one, part=SETUP)) for one in (before, after))
        was, is_now = (dict(one.pop(Surface.SNARE, ())) for one in (had, has))
        assert {on: is_now.get(on, SILENT) for on in SIXTEENTHS} == {
            on: ROUND[(_turns(was, on) + _turns(touches, on)) % len(ROUND)] for on in SIXTEENTHS
        }
        assert had == has


def _turns(struck: dict[Fraction, str], onset: Fraction) -> int:
    return ROUND.index(struck.get(onset, SILENT))
