"""Engravings and files as pages ask for them, made by the worker.

The key of a `Rendering` is the SHA-256 of its format, the format's version and the canonical JSON
of what it shows: a fill is engraved once, and shared by all who get it. `renderings_for(fills)` in
`rendering_store` finds or asks for them. The task `rhythms.tasks.render` writes the file, then
names it in the row, and does nothing where that is done already; where there is no room for it,
the row waits, and is asked for again after a minute, two, four, up to an hour. A lost file is
noticed when a page wants it, and made again; what a broker or worker lost is asked for again by the
task `sweep`.

A change of how fills are drawn needs a new `SVG_VERSION`: what is asked for from then on gets a new
key, and fills that students already have keep theirs. What no model points to is swept out 30 days
after it was last wanted; sheets (`pdf`) and audio (`mp3`) hold names, and go after seven.

Sheets and audio files have an owner, a student or the studio, and each owner one of a subject:
printed anew, the former one goes. All of an owner's go with them, from the disk too, at once where
a student is removed (`made_files`). What no row names goes after a day.

`hand_out` in `download_response` sends a file that is there, or the page that waits for it, which
asks again by a signed ticket and shows how far the worker is (`job_progress`). MusicXML, .mxl,
MIDI and SVG take milliseconds and are written while a visitor waits: `export_formats` lists them,
and the pages list what is there.
"""
