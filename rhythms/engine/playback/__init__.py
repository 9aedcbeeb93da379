"""What sounds when: grooves, and the timeline of a fill and its block.

Feet that keep going (`rhythms.engine.fills.ostinato`) belong to a fill: a rule brings them, every
fill of its space carries them, and they are stored, engraved and heard with it, but not counted.
Under a fill they all play; before it and between the fills of a phrase the groove plays, with what
its own feet leave free of them. A foot that a stroke has too strikes once.
"""
