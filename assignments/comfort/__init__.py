"""The comfort zone of students, from their takes: what they keep coming back to, the way out."""
