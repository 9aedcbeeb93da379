"""How fills are drawn and stuck in a studio: what its teachers play is mixed into the prior."""
