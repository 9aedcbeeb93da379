"""The fill space: exact counts, numbering, sampling, explanations and conflicts."""
