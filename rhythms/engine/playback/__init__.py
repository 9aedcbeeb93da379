"""What sounds when: grooves, and the timeline of a fill and its block."""
