"""The practice log, mastery, and a fill's own page."""
