"""The kit's sounds over the wire: made once for each version, kept, made again if lost."""

import json
from itertools import pairwise
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from rhythms.engine import Surface
from rhythms.notation.sounds import OFFSET, SOUNDS_VERSION, encoded
from rhythms.notation.sounds.beside_kit import BESIDE, beside_encoded
from rhythms.sounds import sound_files
from tests.full_disk import full_disk

SLUG = "hi-hat-foot-ghost"


def address(slug: str = SLUG, version: str = SOUNDS_VERSION) -> str:
    return reverse("rhythms:sound", args=[version, slug])


def kept(settings) -> list[Path]:
    return [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


@pytest.fixture
def made(monkeypatch):
    """Everything that is made, in order."""
    names = []

    def noting(maker):
        def noted(*sound):
            names.append(sound)
            return maker(*sound)

        return noted

    monkeypatch.setattr(sound_files, "encoded", noting(encoded))
    monkeypatch.setattr(sound_files, "beside_encoded", noting(beside_encoded))
    return names


@pytest.fixture
def listed(client, db):
    return client.get(reverse("rhythms:sounds")).json()


class TestTheList:
    def test_it_has_three_dynamics_of_every_surface(self, listed):
        for surface in Surface:
            assert set(listed["sounds"][surface]) == {"ghost", "normal", "accent"}

    def test_it_has_the_clicks_and_the_count_in(self, listed):
        for name in ("click", "click one", "count-in"):
            assert set(listed["sounds"][name]) == {"normal"}

    def test_it_names_the_version(self, listed):
        assert listed["version"] == SOUNDS_VERSION

    def test_it_says_where_the_attack_is(self, listed):
        assert listed["sounds"]["snare"]["ghost"]["offset"] == OFFSET

    @pytest.mark.parametrize(
        "closing", ["hi-hat", "hi-hat foot", "open hi-hat", "half-open hi-hat"]
    )
    def test_it_says_what_ends_an_open_hi_hat(self, listed, closing):
        assert listed["chokes"][closing] == ["open hi-hat", "half-open hi-hat"]

    def test_every_address_in_it_gives_its_sound(self, listed, client):
        for name, dynamics in listed["sounds"].items():
            for dynamic, sound in dynamics.items():
                for take, url in enumerate([sound["url"], *sound["others"]]):
                    made = (
                        beside_encoded(name, dynamic)
                        if name in BESIDE
                        else encoded(name, dynamic, take)
                    )
                    assert client.get(url).content == made

    def test_it_has_a_word_for_each_count_and_says_when_its_vowel_begins(self, listed):
        three, eight = (listed["sounds"][f"say {word}"]["normal"] for word in ("three", "eight"))
        assert 0.05 < three["lead"] < 0.25
        assert "lead" not in eight

    @pytest.mark.parametrize("name", ["bass", "keys"])
    def test_tones_lie_close_enough_to_be_played_at_the_pitches_between(self, listed, name):
        pitches = sorted(map(int, listed["sounds"][name]))
        assert all(high - low <= 6 for low, high in pairwise(pitches))

    @pytest.mark.parametrize("name", ["snare", "hi-hat", "ride", "bass drum"])
    def test_it_has_three_takes_of_what_is_struck_often(self, listed, name):
        assert all(len(sound["others"]) == 2 for sound in listed["sounds"][name].values())

    def test_it_says_where_each_stands(self, listed):
        assert -1 < listed["pans"]["hi-hat"] < 0 < listed["pans"]["floor tom"] < 1

    def test_what_a_phone_plays_instead_is_among_the_sounds_in_the_same_dynamics(self, listed):
        sounds, phone = listed["sounds"], listed["balances"]["phone"]
        assert "bass drum" in phone
        for name, change in phone.items():
            assert set(sounds[change["sound"]]) == set(sounds[name])

    def test_headphones_play_the_kit_as_it_is(self, listed):
        assert listed["balances"]["headphones"] == {}

    def test_it_is_asked_for_again_each_time(self, client, db):
        response = client.get(reverse("rhythms:sounds"))
        assert response.headers["Cache-Control"] == "no-cache"

    def test_it_is_not_sent_again_while_nothing_changes(self, client, db):
        first = client.get(reverse("rhythms:sounds"))
        again = client.get(
            reverse("rhythms:sounds"), headers={"If-None-Match": first.headers["ETag"]}
        )
        assert again.status_code == 304

    def test_all_that_a_player_can_ask_for_is_at_most_1_mb(self, listed, client):
        every = [sound for name in listed["sounds"].values() for sound in name.values()]
        urls = [url for sound in every for url in [sound["url"], *sound["others"]]]
        whole = len(json.dumps(listed)) + sum(len(client.get(url).content) for url in urls)
        assert whole <= 1_000_000


@pytest.mark.django_db
class TestASound:
    def test_it_is_an_mp3_file(self, client):
        assert client.get(address()).headers["Content-Type"] == "audio/mpeg"

    def test_a_browser_may_keep_it_for_ever(self, client):
        cached = client.get(address()).headers["Cache-Control"]
        assert cached == "public, max-age=31536000, immutable"

    def test_it_is_made_once(self, client, made):
        assert client.get(address()).content == client.get(address()).content
        assert made == [("hi-hat foot", "ghost", 0)]

    def test_a_lost_file_is_made_again(self, client, settings, made):
        first = client.get(address()).content
        (path,) = kept(settings)
        path.unlink()
        assert client.get(address()).content == first
        assert len(made) == 2

    def test_it_is_kept_under_its_version(self, client, settings):
        client.get(address())
        (path,) = kept(settings)
        assert path.relative_to(settings.MEDIA_ROOT).parts == (
            "sounds",
            SOUNDS_VERSION,
            f"{SLUG}.mp3",
        )

    def test_its_file_may_be_read_by_the_web_server(self, client, settings):
        client.get(address())
        (path,) = kept(settings)
        assert path.stat().st_mode & 0o777 == 0o644

    def test_two_that_make_it_at_once_leave_one_whole_file(self, client, settings, monkeypatch):
        def with_another_in_between(*sound):
            monkeypatch.setattr(sound_files, "encoded", encoded)
            sound_files.sound_file(SLUG)
            return encoded(*sound)

        monkeypatch.setattr(sound_files, "encoded", with_another_in_between)
        client.get(address())
        (path,) = kept(settings)
        assert path.read_bytes() == encoded("hi-hat foot", "ghost")

    @pytest.mark.parametrize("slug", ["triangle-normal", "click-ghost", "snare", "..", "%2e%2e"])
    def test_a_sound_that_there_is_not_is_not_found(self, client, slug):
        assert client.get(address(slug)).status_code == 404

    def test_another_version_is_not_found(self, client):
        assert client.get(address(version="sounds-0")).status_code == 404


class TestTheCommand:
    def test_it_makes_every_sound(self, settings):
        call_command("sounds")
        assert len(kept(settings)) == len(sound_files.SLUGS)

    def test_it_says_how_many_there_are(self, capsys):
        call_command("sounds")
        assert f"{len(sound_files.SLUGS)} sounds of {SOUNDS_VERSION}" in capsys.readouterr().out

    def test_a_second_time_makes_nothing(self, made):
        call_command("sounds")
        call_command("sounds")
        assert len(made) == len(sound_files.SLUGS)


class TestNoRoomForSounds:
    @pytest.fixture
    def disk(self, tmp_path, settings):
        with full_disk(tmp_path / "disk") as disk:
            settings.MEDIA_ROOT = disk.folder
            yield disk

    @pytest.mark.django_db
    def test_a_sound_is_heard_all_the_same(self, disk, client):
        assert client.get(address("crash-accent")).content == encoded("crash", "accent")

    @pytest.mark.django_db
    def test_nothing_half_written_is_left_over(self, disk, client):
        client.get(address("crash-accent"))
        assert disk.files == []

    def test_the_command_says_that_they_are_not_kept(self, disk):
        with pytest.raises(CommandError, match="cannot be stored"):
            call_command("sounds")
