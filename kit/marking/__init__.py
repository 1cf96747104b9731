"""Marking: a pure function of journal, rubric and truth key."""
