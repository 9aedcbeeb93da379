"""Invented students who practise by the plan, day by day; knows no database."""
