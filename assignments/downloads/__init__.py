"""Fills and plans on paper and as files."""
