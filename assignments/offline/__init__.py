"""What a student's device keeps for places without a network."""
