"""A block as bars to be read: what is written is what is heard."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as some

from rhythms.engine import Fill
from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.block_bars import bars_of
from rhythms.engine.playback.groove_library import groove_named, grooves_for
from rhythms.engine.playback.timeline import BLOCK_BARS, Block
from tests.thoroughness import examples

FOUR = Meter.parse("4/4")
WHOLE = "1 e & a 2 & 3 e & a 4 &"
LATE = "(1) (2) 3 e & a 4 e & a"


def block(counts: str = WHOLE, bars: int = 4, groove: str = "", sets_up: bool = False) -> Block:
    chosen = groove_named(groove, FOUR) if groove else grooves_for(FOUR)[0]
    fill = snare_fill(Bar.from_counts(counts, FOUR))
    return Block(fill, chosen, bars, sets_up=sets_up)


def struck(strokes: Fill, at: Fraction) -> list[tuple[Fraction, str]]:
    return [
        (at + note.onset, str(hit.surface))
        for note, stroke in zip(strokes.bar.sounded, strokes.strokes, strict=True)
        for hit in stroke.hits
    ]


@examples(60)
@given(
    counts=some.sampled_from([WHOLE, LATE, "1 & 2 & 3 & 4 &", "(1) 2 & (3) 4"]),
    bars=some.sampled_from(BLOCK_BARS),
    groove=some.sampled_from([one.name for one in grooves_for(FOUR)]),
    sets_up=some.booleans(),
)
def test_every_bar_is_written_as_it_sounds(counts, bars, groove, sets_up):
    played = block(counts, bars, groove, sets_up)
    written = [
        hit
        for bar in bars_of(played)
        if bar.strokes is not None
        for hit in struck(bar.strokes, (bar.first - 1) * FOUR.length)
    ]
    heard = [(sound.onset, str(sound.surface)) for sound in played.sounds if not sound.grace]
    assert sorted(written) == sorted(heard)


def test_bars_come_in_order_and_end_with_the_landing():
    kinds = [(bar.kind, bar.first) for bar in bars_of(block(sets_up=True, bars=4))]
    setup = "setup" if block(sets_up=True).setting_up else "groove"
    assert kinds == [("groove", 1), ("groove", 2), (setup, 3), ("fill", 4), ("landing", 5)]


def test_a_fill_that_fills_its_bar_is_written_as_it_is():
    played = block(WHOLE)
    [fill] = [bar.strokes for bar in bars_of(played) if bar.kind == "fill"]
    assert fill == played.fill
