"""Bars: meter, notes, values, and the count line that is typed."""
