"""The grooves that come with the program and those of the studio: list, editor, and one by one."""
