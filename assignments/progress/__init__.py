"""What was practised, by day, for many students in few queries."""
