"""How loud the player is, part by part, measured in what Chromium renders (ITU-R BS.1770-4)."""

import base64
from dataclasses import dataclass

import numpy as np
import pytest
from django.urls import reverse
from playwright.sync_api import Page

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json
from rhythms.notation.sounds.loudness import programme_loudness, true_peak
from tests.browser.test_player_timing import RATE, run

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TEMPO = 100
#: Each part by itself: the levels of all others are 0.
SILENT = dict.fromkeys(("clickLevel", "grooveLevel", "fillLevel", "backingLevel", "voiceLevel"), 0)


@dataclass(frozen=True)
class Heard:
    """LUFS, and dBTP of the highest peak."""

    loudness: float
    peak: float


@pytest.fixture
def page(desktop: Page) -> Page:
    desktop.goto("/")
    return desktop


def a_block() -> Block:
    """Rock, and 16ths round the kit with an accent on each beat."""
    bar = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
    drums = (Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
    strokes = (
        Stroke(drums[note.index // 4], dynamic="normal" if note.index % 4 else "accent")
        for note in bar.sounded
    )
    return Block(Fill(bar, tuple(strokes)), groove_named("rock", Meter(4, 4)))


def rendered(page: Page, **settings) -> np.ndarray:
    """Samples by channel: two times through, from the count-in to the landing."""
    seconds = (1 + 2 * 4 + 1) * 4 * 60 / TEMPO
    channels = run(
        page,
        "rendered_in_offline_page.js",
        sounds=reverse("rhythms:sounds"),
        block=block_json(a_block()),
        settings={"tempo": TEMPO, "loops": 2, **settings},
        rate=RATE,
        seconds=seconds,
    )
    waves = [np.frombuffer(base64.b64decode(one), dtype="<f4") for one in channels]
    return np.stack(waves, axis=1).astype(np.float64)


def heard(page: Page, **settings) -> Heard:
    wave = rendered(page, **settings)
    return Heard(programme_loudness(wave), true_peak(wave))


def alone(page: Page, part: str, **settings) -> Heard:
    return heard(page, **(SILENT | {part: 7} | settings))


@pytest.mark.parametrize("output", ["headphones", "phone"])
def test_a_whole_block_is_loud_enough_and_never_too_loud(page, output):
    whole = heard(page, output=output)
    assert whole.loudness >= -20
    assert whole.peak <= -1


def test_with_every_level_at_its_top_no_peak_is_too_high(page):
    most = dict.fromkeys(SILENT, 10)
    assert heard(page, backing=True, voice=True, click="16ths", **most).peak <= -1


@pytest.mark.parametrize("output", ["headphones", "phone"])
def test_the_click_is_three_decibels_under_the_groove(page, output):
    click, groove = (
        alone(page, "clickLevel", output=output),
        alone(page, "grooveLevel", output=output),
    )
    assert groove.loudness - click.loudness == pytest.approx(3, abs=1)


def test_the_backing_lies_well_under_the_drums(page):
    backing, groove = alone(page, "backingLevel", backing=True), alone(page, "grooveLevel")
    assert 4 <= groove.loudness - backing.loudness <= 12


def test_half_the_volume_is_quieter_by_twelve_decibels_where_nothing_is_rounded_off(page):
    quiet, quieter = (heard(page, volume=volume).loudness for volume in (3, 1.5))
    assert quiet - quieter == pytest.approx(12, abs=0.1)


def test_silence_is_silent(page):
    assert heard(page, **SILENT).peak < -100


def test_two_strokes_of_a_hat_differ_and_each_time_is_the_same(page):
    groove = {"grooveLevel": 7}
    first, again = (rendered(page, **(SILENT | groove)) for _ in range(2))
    assert np.max(np.abs(first - again)) < 1e-5
    bar = round(4 * 60 / TEMPO * RATE)
    one, next_one = first[bar : 2 * bar], first[2 * bar : 3 * bar]
    assert np.max(np.abs(one - next_one)) > 0.01


def test_a_hat_is_left_of_a_ride_in_headphones_and_both_in_the_middle_on_a_phone(page):
    def balance(output: str) -> float:
        """dB by which the right channel is over the left one."""
        left, right = np.sqrt(np.mean(rendered(page, output=output, **hats) ** 2, axis=0))
        return float(20 * np.log10(right / left))

    hats = SILENT | {"grooveLevel": 7}
    assert balance("headphones") < -0.1
    assert balance("phone") == pytest.approx(0, abs=1e-6)
