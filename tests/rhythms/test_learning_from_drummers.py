"""Human fills from MIDI files: read, learned from, and compared with what is drawn."""

from __future__ import annotations

import csv
import json
import os
from fractions import Fraction
from io import StringIO
from pathlib import Path

import mido
import pytest
from django.core.management import CommandError, call_command

from rhythms.bench.likeness_cases import CASES
from rhythms.engine import Surface, draw
from rhythms.engine.prior.human_prior import FILE, Prior, human_prior
from rhythms.engine.prior.learning import learn
from rhythms.human_fills import FolderError, human_fills, lines_by_player
from tests.engine.space.test_fill_space import space_of
from tests.thoroughness import amount

SNARE, HIGH_TOM, FLOOR_TOM, CROSS_STICK, BASS_DRUM = 38, 48, 43, 37, 36
GROOVE_MIDI = Path(os.environ.get("GROOVE_MIDI") or "/nowhere")
with_the_data = pytest.mark.skipif(
    not (GROOVE_MIDI / "info.csv").is_file(),
    reason="Data that is not ours to ship: GROOVE_MIDI names no folder with it",
)


def write_fill(
    path: Path, keys: list[int], ticks: int = 240, late: int = 0, bpm: int = 120
) -> None:
    """Eighths, 480 ticks a quarter; `late` in ticks."""
    track = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(bpm))])
    track.append(mido.Message("note_on", channel=9, note=keys[0], velocity=90, time=late))
    track.extend(
        mido.Message("note_on", channel=9, note=key, velocity=90, time=ticks) for key in keys[1:]
    )
    mido.MidiFile(tracks=[track], ticks_per_beat=480).save(path)


def write_list(folder: Path, rows: list[tuple[str, str]]) -> None:
    with (folder / "info.csv").open("w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["drummer", "bpm", "time_signature", "midi_filename"])
        writer.writerows([player, "120", "4-4", name] for player, name in rows)


@pytest.fixture
def folder(tmp_path) -> Path:
    """One goes down the toms, the other stays on the snare."""
    rows = []
    for number in range(8):
        write_fill(tmp_path / f"down{number}.mid", [SNARE, HIGH_TOM, FLOOR_TOM] * 2, late=3)
        write_fill(tmp_path / f"stays{number}.mid", [SNARE] * 5 + [FLOOR_TOM])
        rows += [("one", f"down{number}.mid"), ("other", f"stays{number}.mid")]
    write_list(tmp_path, rows)
    return tmp_path


def test_a_file_is_read_as_what_the_hands_strike_on_the_grid(tmp_path):
    write_fill(tmp_path / "a.mid", [SNARE, BASS_DRUM, CROSS_STICK, FLOOR_TOM], late=5)
    write_list(tmp_path, [("one", "a.mid")])
    (fill,) = human_fills(tmp_path)
    assert fill.line.onsets == (0, Fraction(1), Fraction(3, 2))
    assert fill.line.surfaces == (Surface.SNARE, Surface.SNARE, Surface.FLOOR_TOM)


def test_a_folder_without_a_list_says_so(tmp_path):
    with pytest.raises(FolderError, match=r"no info\.csv"):
        lines_by_player(tmp_path)


def test_a_file_that_is_missing_or_no_midi_file_is_named(tmp_path):
    write_list(tmp_path, [("one", "gone.mid")])
    with pytest.raises(FolderError, match=r"gone\.mid cannot be read"):
        lines_by_player(tmp_path)
    (tmp_path / "gone.mid").write_text("no music")
    with pytest.raises(CommandError, match=r"gone\.mid cannot be read"):
        call_command("learn_prior", tmp_path)


def test_what_was_learned_is_kept_and_read_back(folder, tmp_path):
    out, kept = StringIO(), tmp_path / "kept.json"
    call_command("learn_prior", folder, to=kept, stdout=out)
    assert "one: 8 fills, 48 strokes" in out.getvalue()
    data = json.loads(kept.read_text())
    assert "CC BY 4.0" in data["licence"]
    prior = Prior.from_json(data)
    assert prior.to_json() == learn(lines_by_player(folder)).to_json()


def test_fills_sound_like_those_that_were_learned_from(folder):
    prior = learn(lines_by_player(folder))
    drawn = draw(space_of(), amount(200, 60), 1, 1.0, prior)
    snares = [sum(s.surface == "snare" for s in fill.strokes) / 12 for fill in drawn]
    # One of them stays on the snare, the other strikes it one time in three; each plays a half.
    assert 0.15 < sum(share > 0.6 for share in snares) / len(snares) < 0.75
    assert sum(
        stroke.surface == "crash" for fill in drawn for stroke in fill.strokes
    ) < 0.03 * 12 * len(drawn)


def test_a_prior_learned_with_other_traits_is_refused():
    data = human_prior().to_json()
    data["phrase"]["traits"] = data["phrase"]["traits"][1:]
    with pytest.raises(ValueError, match="learn it again"):
        Prior.from_json(data)


def test_the_table_of_likeness_has_a_line_for_each_way_and_the_judge(folder, monkeypatch):
    command = "rhythms.management.commands.likeness_to_drummers"
    monkeypatch.setattr(f"{command}.CASES", CASES[:1])
    monkeypatch.setattr(f"{command}.FILLS", 3)
    out = StringIO()
    call_command("likeness_to_drummers", folder, parts=1, sets=1, by_case=True, stdout=out)
    lines = out.getvalue().splitlines()
    assert [line for line in lines if line.startswith("drummers, laid over")]
    for setting in ("close to home", "a step out", "anything the rules allow"):
        for way in ("drawn", "picked"):
            (line,) = [line for line in lines if line.startswith(f"{way}, {setting}")]
            assert line.split()[-1] == "3.0"
    assert lines[-1].startswith("anything the rules allow")


def test_the_table_of_likeness_needs_a_folder(tmp_path):
    with pytest.raises(CommandError, match=r"no info\.csv"):
        call_command("likeness_to_drummers", tmp_path)


@with_the_data
def test_the_prior_that_comes_with_the_project_is_what_the_data_teach():
    """Groove MIDI Dataset, Google LLC; CC BY 4.0: see the file."""
    learned = json.loads(json.dumps(learn(lines_by_player(GROOVE_MIDI)).to_json()))
    kept = json.loads(FILE.read_text(encoding="utf-8"))
    assert learned["players"] == kept["players"]
    assert learned["runs"] == kept["runs"]
    for name in ("mean", "spread", "weights"):
        assert learned["phrase"][name] == pytest.approx(kept["phrase"][name], abs=2e-3)


@with_the_data
def test_human_fills_are_read_as_they_were_counted_elsewhere():
    """306 and 117 fills, 64 and 60 % of hand strokes staying: counted from the same files by
    another program.
    """
    played = lines_by_player(GROOVE_MIDI)
    assert {name: len(lines) for name, lines in played.items()} == {
        "drummer1": 306,
        "drummer7": 117,
    }
    stays = {}
    for name, lines in played.items():
        pairs = [
            (a, b) for line in lines for a, b in zip(line.surfaces, line.surfaces[1:], strict=False)
        ]
        stays[name] = sum(a == b for a, b in pairs) / len(pairs)
    assert stays == pytest.approx({"drummer1": 0.64, "drummer7": 0.60}, abs=0.02)
