"""Drawing fills for students and handing them out."""
