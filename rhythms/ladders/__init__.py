"""Ladders of rule sets, on pages and on paper."""
