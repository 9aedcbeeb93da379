"""How notes are laid out whatever the format: voices, beams and tuplets."""
