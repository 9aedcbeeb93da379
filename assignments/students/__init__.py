"""The roster, and one student's page as the teacher sees it."""
