"""The visit: a pure transition under a thin shell, with a simulated clock and seeded streams."""
