"""The page of the 40 rudiments: engraved, heard, laid over notes, taken as bars."""
