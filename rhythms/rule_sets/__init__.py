"""Rule sets: their pages, their editor and its preview."""
