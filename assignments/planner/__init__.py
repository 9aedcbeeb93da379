"""What to practise on a day, told from what was practised before; knows no database."""
