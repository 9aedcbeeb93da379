"""Fills: strokes, hands, playability, likeness and variety."""
