"""A timeline as an audio file: every stroke on its time, the tempo changing no pitch."""

from collections.abc import Iterable
from fractions import Fraction
from functools import cache

import numpy as np
import pytest

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block, Sound, fill_timeline
from rhythms.notation.sounds import OFFSET, PANS, samples
from rhythms.notation.sounds.audio import audio, mix
from rhythms.notation.sounds.loudness import programme_loudness, true_peak
from tests.notation import sound_measures

RATE = sound_measures.RATE
BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
FILL = Fill(BAR, tuple(Stroke(Surface.SNARE) for _ in BAR.sounded))
BLOCK, SHORT = (Block(FILL, grooves_for(BAR.meter)[0], bars).sounds for bars in (16, 4))


def at(onset: Fraction | int, surface: str = Surface.CROSS_STICK, dynamic: str = "normal") -> Sound:
    return Sound(Fraction(onset), surface, dynamic)


def mono(timeline: Iterable[Sound], tempo: float) -> np.ndarray:
    """Both sides together."""
    return mix(timeline, tempo).mean(axis=1)


def heard_file(timeline: Iterable[Sound], tempo: float) -> np.ndarray:
    """The file as it is decoded: left and right."""
    return sound_measures.decoded(audio(timeline, tempo), channels=2)


@cache
def block_heard(tempo: float) -> np.ndarray:
    """The file of the block, as it is decoded; made once."""
    heard = heard_file(BLOCK, tempo)
    heard.flags.writeable = False
    return heard


def starts(wave: np.ndarray) -> list[int]:
    """Where sound comes after silence."""
    sounding = np.abs(wave) > 0.3 * np.max(np.abs(wave))
    quiet_before = np.convolve(sounding, np.ones(400), "full")[: wave.size] - sounding == 0
    return list(np.flatnonzero(sounding & quiet_before))


class TestTime:
    @pytest.mark.parametrize("tempo", [30, 92, 137, 240])
    def test_every_stroke_is_within_two_samples_of_the_ideal_grid_over_16_bars(self, tempo):
        onsets = [Fraction(k, 2) for k in range(128)]
        wave = mono([at(onset) for onset in onsets], tempo)
        ideal = [float(onset) * 60 / tempo * RATE for onset in onsets]
        late = np.array(starts(wave)) - starts(wave)[0] - np.array(ideal)
        # One for its own place, one for peaks that are rounded off where tails meet.
        assert np.max(np.abs(late)) <= 2

    def test_triplets_fall_where_they_belong(self):
        wave = mono([at(Fraction(k, 3)) for k in range(4)], 100)
        assert np.diff(starts(wave)) == pytest.approx([8820] * 3, abs=1)

    def test_in_the_decoded_file_strokes_are_where_the_timeline_has_them(self):
        wave = heard_file([at(k) for k in range(8)], 90).mean(axis=1)
        found = [start / RATE - OFFSET for start in starts(wave)]
        assert found == pytest.approx([k * 60 / 90 for k in range(8)], abs=0.002)

    def test_a_grace_note_before_the_start_is_not_lost(self):
        wave = mono([at(Fraction(-1, 4)), at(1)], 60)
        assert np.diff(starts(wave)) == pytest.approx([1.25 * RATE], abs=1)

    def test_the_order_of_the_timeline_does_not_matter(self):
        assert np.allclose(mono(SHORT, 100), mono(SHORT[::-1], 100))

    def test_the_last_sound_rings_out(self):
        assert mono([at(4, Surface.CRASH)], 60).size == 4 * RATE + samples("crash", "normal").size


class TestSound:
    def test_a_faster_tempo_changes_no_pitch(self):
        timeline = [at(k, Surface.HIGH_TOM) for k in range(4)]
        slow, fast = (heard_file(timeline, tempo).mean(axis=1) for tempo in (60, 90))
        assert sound_measures.strongest(slow) == pytest.approx(
            sound_measures.strongest(fast), rel=0.01
        )

    def test_each_surface_sounds_as_itself(self):
        alone = mono([at(0, Surface.COWBELL, "accent")], 100)
        sound = samples("cowbell", "accent")
        assert np.corrcoef(alone[: sound.size], sound)[0, 1] == pytest.approx(1, abs=0.02)

    def test_sounds_that_come_together_are_added(self):
        both = [at(0, Surface.SNARE), at(0, Surface.BASS_DRUM)]
        summed = (
            samples("snare", "normal")
            + np.pad(samples("bass drum", "normal"), (0, 100_000))[
                : samples("snare", "normal").size
            ]
        )
        wave = mono(both, 100)[: summed.size]
        assert np.corrcoef(wave, summed)[0, 1] == pytest.approx(1, abs=0.01)

    def test_an_accent_is_louder_than_a_ghost(self):
        wave = mono([at(0, Surface.SNARE, "ghost"), at(1, Surface.SNARE, "accent")], 60)
        ghost, accent = sound_measures.level(wave), sound_measures.level(wave[RATE:])
        assert accent - ghost == pytest.approx(12, abs=2)

    def test_a_diddle_sounds_twice(self):
        bar = Bar.from_counts("1 2 3 4")
        strokes = [Stroke(Surface.CROSS_STICK, ornament="diddle")] * 4
        wave = mono(fill_timeline(Fill(bar, tuple(strokes))), 60)
        assert len(starts(wave)) == 8

    @pytest.mark.parametrize("tempo", [80, 140])
    def test_a_block_is_at_least_at_minus_20_lufs(self, tempo):
        assert programme_loudness(block_heard(tempo)) >= -20

    @pytest.mark.parametrize("tempo", [80, 140])
    def test_between_samples_too_the_decoded_file_is_at_most_at_minus_1_db(self, tempo):
        assert true_peak(block_heard(tempo)) <= -1

    def test_three_strokes_in_a_row_are_three_takes(self):
        wave = mono([at(beat, Surface.SNARE) for beat in range(4)], 60)
        first, second, third, fourth = (wave[k * RATE :][: RATE // 4] for k in range(4))
        assert np.allclose(first, fourth, atol=0.002)
        for one, other in ((first, second), (second, third), (first, third)):
            assert not np.allclose(one, other, atol=0.02)

    @pytest.mark.parametrize("name", [Surface.HI_HAT, Surface.SNARE, Surface.FLOOR_TOM])
    def test_each_stands_where_the_list_says_within_2_db_of_the_middle(self, name):
        left, right = (sound_measures.level(side) for side in mix([at(0, name)], 60).T)
        assert np.sign(round(right - left, 3)) == np.sign(PANS.get(name, 0))
        assert abs(right - left) < 2

    def test_the_block_gets_through_at_every_practice_tempo(self):
        for tempo, block in ((30, SHORT), (240, BLOCK)):
            wave = mono(block, tempo)
            assert wave.size > float(block[-1].onset) * 60 / tempo * RATE
            assert np.all(np.isfinite(wave))


class TestTheOpenHiHat:
    @pytest.mark.parametrize("closing", [Surface.HI_HAT, Surface.HI_HAT_FOOT])
    def test_closing_ends_it(self, closing):
        chokes, rings = (
            mono(
                [at(0, Surface.OPEN_HI_HAT, "accent"), at(Fraction(1, 4), surface, "ghost"), at(2)],
                60,
            )
            for surface in (closing, Surface.SNARE)
        )
        later = slice(round(0.5 * RATE), round(0.7 * RATE))
        assert np.max(np.abs(chokes[later])) < np.max(np.abs(rings[later])) / 20

    @pytest.mark.parametrize("opened", [Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT])
    def test_what_is_struck_at_the_same_time_lets_it_ring(self, opened):
        both = mono([at(0, opened, "accent"), at(0, Surface.HI_HAT_FOOT, "ghost")], 60)
        later = slice(round(0.45 * RATE), round(0.5 * RATE))
        alone = samples(opened, "accent")[later]
        assert np.corrcoef(both[later], alone)[0, 1] > 0.9

    def test_the_next_open_stroke_ends_the_one_before_and_a_closed_one_ends_it(self):
        timeline = [at(0, Surface.OPEN_HI_HAT), at(Fraction(1, 4), Surface.OPEN_HI_HAT)]
        closed = mono([*timeline, at(Fraction(1, 2), Surface.HI_HAT_FOOT, "ghost"), at(2)], 60)
        later = slice(round(1.0 * RATE), round(1.1 * RATE))
        assert np.max(np.abs(closed[later])) < 1e-6

    def test_a_stroke_on_the_ride_lets_it_ring(self):
        opened = samples(Surface.OPEN_HI_HAT, "accent")
        both = mono([at(0, Surface.OPEN_HI_HAT, "accent"), at(Fraction(3, 4), Surface.RIDE)], 60)
        before = slice(0, round(0.7 * RATE))
        assert np.corrcoef(both[before], opened[before])[0, 1] == pytest.approx(1)

    def test_what_was_rung_out_before_is_left_as_it_is(self):
        late = mono([at(0, Surface.OPEN_HI_HAT, "accent"), at(4, Surface.HI_HAT, "ghost")], 60)
        opened = samples(Surface.OPEN_HI_HAT, "accent")
        assert np.corrcoef(late[: opened.size], opened)[0, 1] == pytest.approx(1)


class TestWhatCannotBe:
    @pytest.mark.parametrize("tempo", [0, -60, float("nan")])
    def test_a_tempo_that_is_none_is_refused(self, tempo):
        with pytest.raises(ValueError, match="is not a speed"):
            audio(BLOCK, tempo)

    def test_nothing_to_play_is_silence(self):
        assert np.max(np.abs(heard_file([], 100))) < 0.001
