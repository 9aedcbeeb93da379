"""A student's day: its plan, its page, and the session that plays it."""
