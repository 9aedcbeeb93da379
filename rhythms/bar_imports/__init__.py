"""Bars from files: upload, reading, picking."""
