"""How fast the engine and the engraver are, against this machine and against other programs."""
