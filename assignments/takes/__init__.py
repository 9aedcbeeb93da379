"""Takes as they come in, what is made out of them, and their pages."""
