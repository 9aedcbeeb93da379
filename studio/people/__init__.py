"""Students, their kits and their sign-in links."""
