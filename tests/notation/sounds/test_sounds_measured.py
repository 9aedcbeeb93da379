"""The kit's sounds, measured on the encoded files as another library decodes them."""

from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest

from rhythms.bench.sound_judge import seconds_to_die
from rhythms.engine import Surface
from rhythms.notation.sounds import (
    CLICK,
    CLICK_ONE,
    COUNT_IN,
    NAMES,
    OFFSET,
    dynamics_of,
    encoded,
    samples,
    takes_of,
)
from rhythms.notation.sounds.loudness import loudness
from tests.notation import sound_measures

RATE = sound_measures.RATE
SURFACES = [*map(str, Surface)]
EVERY = [
    (name, dynamic, take)
    for name in NAMES
    for dynamic in dynamics_of(name)
    for take in range(takes_of(name))
]
TOMS = ["high tom", "mid tom", "floor tom"]


def likeness(one: np.ndarray, other: np.ndarray) -> float:
    """The correlation of their power in bands of 500 Hz and frames of 10 ms."""
    return float(np.corrcoef(_picture(one), _picture(other))[0, 1])


def _picture(wave: np.ndarray) -> np.ndarray:
    frame = RATE // 100
    held = np.zeros(50 * frame)
    held[: min(wave.size, held.size)] = wave[: held.size]
    power = np.abs(np.fft.rfft(held.reshape(-1, frame), 2 * frame - 2)) ** 2
    return power[:, :-1].reshape(50, -1, 10).sum(axis=2).ravel()


class TestTheKit:
    def test_every_surface_sounds(self):
        assert set(Surface) <= set(NAMES)

    @pytest.mark.parametrize("name", SURFACES)
    def test_a_surface_has_three_dynamics(self, name):
        assert dynamics_of(name) == ("ghost", "normal", "accent")

    @pytest.mark.parametrize("name", [CLICK, CLICK_ONE, COUNT_IN])
    def test_what_counts_time_has_one(self, name):
        assert dynamics_of(name) == ("normal",)

    def test_no_two_sounds_are_the_same(self):
        assert len({encoded(*sound) for sound in EVERY}) == len(EVERY)

    @pytest.mark.parametrize("name", ["snare", "crash", "bass drum"])
    def test_a_sound_is_the_same_whenever_it_is_made(self, name):
        assert np.array_equal(samples(name, "accent"), samples.__wrapped__(name, "accent"))

    def test_all_of_them_together_go_over_the_wire_in_900_kb(self):
        assert sum(len(encoded(*sound)) for sound in EVERY) <= 900_000

    def test_a_name_that_is_none_is_refused(self):
        with pytest.raises(KeyError):
            samples("triangle", "normal")

    def test_a_dynamic_that_a_sound_does_not_have_is_refused(self):
        with pytest.raises(KeyError):
            samples(CLICK, "ghost")


def not_so(holds: Callable[[str, str, int], bool]) -> list[tuple[str, str, int]]:
    """The sounds for which it does not hold, by name, dynamic and take."""
    return [sound for sound in EVERY if not holds(*sound)]


class TestEverySound:
    def test_it_is_not_clipped(self):
        assert not_so(lambda *sound: np.max(np.abs(sound_measures.heard(*sound))) < 0.9) == []

    def test_it_has_no_offset_from_zero(self):
        def centred(*sound) -> bool:
            wave = sound_measures.heard(*sound)
            return abs(np.mean(wave)) < 0.001 * np.max(np.abs(wave))

        assert not_so(centred) == []

    def test_its_attack_is_where_the_offset_says(self):
        """Within 2 ms: the foot's hi-hat is the slowest."""

        def on_time(*sound) -> bool:
            wave = sound_measures.decoded(encoded(*sound))
            return 0 <= sound_measures.attack(wave) / RATE - OFFSET < 0.002

        assert not_so(on_time) == []

    def test_nothing_before_its_attack_could_be_taken_for_it(self):
        def quiet_before(*sound) -> bool:
            wave = np.abs(sound_measures.decoded(encoded(*sound)))
            before = wave[: round((OFFSET - 0.0005) * RATE)]
            return np.max(before) < 0.02 * np.max(wave)

        assert not_so(quiet_before) == []

    def test_it_dies_away_to_nothing(self):
        assert not_so(lambda *sound: np.max(np.abs(samples(*sound)[-20:])) < 0.001) == []

    def test_the_loudest_that_come_together_are_not_clipped(self):
        together = [sound_measures.heard(name) for name in ("snare", "bass drum", "crash")]
        start = RATE // 10
        assert np.max(np.abs(sum(wave[:start] for wave in together))) < 1


class TestVelocity:
    # From ghost to accent recorded snares change by -0.4 to 0.35 octaves, crashes by 0.9.
    @pytest.mark.parametrize("name", SURFACES)
    def test_a_harder_stroke_is_of_the_same_colour_within_what_recorded_ones_differ(self, name):
        ghost, accent = (
            sound_measures.centroid(sound_measures.heard(name, dynamic))
            for dynamic in ("ghost", "accent")
        )
        assert -0.5 < np.log2(accent / ghost) < 1.0

    @pytest.mark.parametrize("name", SURFACES)
    def test_a_ghost_is_about_12_db_under_an_accent(self, name):
        ghost, accent = (
            sound_measures.level(sound_measures.heard(name, dynamic))
            for dynamic in ("ghost", "accent")
        )
        assert accent - ghost == pytest.approx(12, abs=2)

    @pytest.mark.parametrize("name", SURFACES)
    def test_a_normal_stroke_is_between_them(self, name):
        ghost, normal, accent = (
            sound_measures.level(sound_measures.heard(name, dynamic))
            for dynamic in dynamics_of(name)
        )
        assert ghost + 3 < normal < accent - 3


class TestDrums:
    def test_the_toms_descend_from_high_to_floor(self):
        high, mid, floor = (sound_measures.strongest(sound_measures.heard(name)) for name in TOMS)
        assert high > 1.2 * mid > 1.2 * 1.2 * floor

    def test_the_bass_drum_is_the_lowest(self):
        assert sound_measures.strongest(sound_measures.heard("bass drum")) < 70

    def test_a_hard_stroke_on_a_tom_starts_higher_than_it_ends(self):
        wave = sound_measures.heard("floor tom")
        start, end = wave[: RATE // 10], wave[RATE // 4 : RATE // 2]
        assert sound_measures.strongest(start) > 1.02 * sound_measures.strongest(end)

    def test_the_snares_wires_set_it_apart_from_the_toms(self):
        brightest = max(sound_measures.centroid(sound_measures.heard(name)) for name in TOMS)
        assert sound_measures.centroid(sound_measures.heard("snare")) > 3 * brightest

    def test_the_cross_stick_is_shorter_than_the_snare(self):
        cross_stick, snare = (
            sound_measures.decay(sound_measures.heard(name)) for name in ("cross-stick", "snare")
        )
        assert cross_stick < snare


class TestCymbals:
    @pytest.mark.parametrize("name", ["ride bell", "crash", "china"])
    def test_it_takes_seconds_to_die_away(self, name):
        assert 1 < sound_measures.decay(sound_measures.heard(name)) < 6

    def test_the_splash_is_gone_before_the_crash(self):
        splash, crash = (
            sound_measures.decay(sound_measures.heard(name)) for name in ("splash", "crash")
        )
        assert splash < 0.9 * crash

    def test_the_highest_part_of_a_crash_dies_first(self):
        wave = sound_measures.heard("crash")
        assert seconds_to_die(wave, 8000) < 0.96 * seconds_to_die(wave, 500)

    def test_the_bell_has_a_pitch_that_the_bow_has_not(self):
        """Peakiness: how far the strongest partial stands out of the mean."""

        def peakiness(name):
            _, magnitudes = sound_measures.spectrum(sound_measures.heard(name))
            return np.max(magnitudes) / np.sqrt(np.mean(magnitudes**2))

        assert peakiness("ride bell") > 1.5 * peakiness("ride")


class TestHiHats:
    HATS = ("hi-hat", "half-open hi-hat", "open hi-hat", "hi-hat foot")

    def test_the_more_open_it_is_the_longer_it_rings(self):
        closed, half_open, opened, foot = (
            sound_measures.decay(sound_measures.heard(name)) for name in self.HATS
        )
        assert opened > 1.5 * half_open > 1.5 * 1.5 * max(closed, foot)

    def test_the_foot_comes_more_softly_than_the_stick(self):
        closed, *_, foot = (sound_measures.heard(name) for name in self.HATS)
        assert sound_measures.attack(foot) > sound_measures.attack(closed)

    @pytest.mark.parametrize(("one", "other"), list(combinations(HATS, 2)))
    def test_no_two_are_alike(self, one, other):
        # The half-open one is between the others.
        most = 0.86 if "half-open hi-hat" in (one, other) else 0.75
        assert likeness(sound_measures.heard(one), sound_measures.heard(other)) < most

    @pytest.mark.parametrize("name", HATS)
    def test_one_is_like_itself_a_little_softer(self, name):
        assert likeness(sound_measures.heard(name), sound_measures.heard(name, "normal")) > 0.85


class TestBalance:
    @pytest.mark.parametrize("name", SURFACES)
    def test_no_surface_drowns_or_is_drowned(self, name):
        snare = loudness(sound_measures.heard("snare"))
        assert -12 < loudness(sound_measures.heard(name)) - snare < 3

    @pytest.mark.parametrize("name", [CLICK, CLICK_ONE, COUNT_IN])
    def test_what_counts_time_is_heard_over_a_normal_snare(self, name):
        snare = loudness(sound_measures.heard("snare", "normal"))
        assert loudness(sound_measures.heard(name, "normal")) > snare - 3

    def test_the_click_on_one_is_higher_than_the_others(self):
        one, others = (sound_measures.heard(name, "normal") for name in (CLICK_ONE, CLICK))
        assert sound_measures.strongest(one) > 1.3 * sound_measures.strongest(others)
