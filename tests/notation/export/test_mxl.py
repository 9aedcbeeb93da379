"""Compressed MusicXML, opened as the standard says, and by music21, a general-purpose library."""

import io
import zipfile

import pytest
from hypothesis import given
from lxml import etree
from music21.converter import ArchiveManager

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import musicxml, mxl
from tests.strategies import fills
from tests.thoroughness import examples

#: MusicXML 4.0, "The .mxl file extension" and container.xsd, from the W3C's repository.
MEDIA_TYPE = "application/vnd.recordare.musicxml"
SCORE = musicxml(snare_fill(Bar.from_counts("1 & 2 e & a 3 & 4")))


def opened(file: bytes) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(file))


def test_the_media_type_comes_first_and_uncompressed():
    first = opened(mxl(SCORE)).infolist()[0]
    assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
    assert opened(mxl(SCORE)).read("mimetype").decode() == MEDIA_TYPE


def test_the_container_names_the_score_and_what_it_is():
    archive = opened(mxl(SCORE))
    container = etree.fromstring(archive.read("META-INF/container.xml"))
    (root,) = container.iterfind("rootfiles/rootfile")
    assert root.get("media-type") == f"{MEDIA_TYPE}+xml"
    assert archive.read(root.get("full-path")).decode() == SCORE


def test_a_general_purpose_library_finds_the_same_score(tmp_path):
    file = tmp_path / "fill.mxl"
    file.write_bytes(mxl(SCORE))
    assert ArchiveManager(file).getData() == SCORE


@examples(20)
@given(fills())
def test_the_same_score_gives_the_same_smaller_file(fill):
    score = musicxml(fill)
    assert mxl(score) == mxl(score)
    assert len(mxl(score)) < len(score.encode())


@pytest.mark.parametrize("member", opened(mxl(SCORE)).namelist())
def test_no_member_leads_out_of_the_archive(member):
    assert not member.startswith("/")
    assert ".." not in member
