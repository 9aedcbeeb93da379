"""The 40 international drum rudiments: letters, ornaments, accents, and a bar of each.

`rudiment_table` has them as the sheet writes them, `letters` reads that, `rudiment_fill` lays one
out in a bar, `overlays` is what rules lay over other notes.
"""
