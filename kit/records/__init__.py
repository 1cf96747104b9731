"""What is kept of learners' work beyond one visit: the only room that speaks SQL."""
