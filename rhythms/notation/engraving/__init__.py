"""Fills as MEI, and engraved as SVG."""
