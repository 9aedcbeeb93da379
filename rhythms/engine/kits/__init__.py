"""Surfaces, kits, where their drums stand, and how long moves between them take."""
