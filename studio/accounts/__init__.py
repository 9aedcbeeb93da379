"""Teachers' accounts: signing up and in, settings, forgotten passwords."""
