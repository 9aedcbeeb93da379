"""Fills as MusicXML and MIDI files."""
