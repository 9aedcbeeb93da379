"""What is stored about a student, for that student to see."""
