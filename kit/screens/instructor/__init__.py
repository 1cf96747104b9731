"""What instructors use: a desk to write work orders at, and one to read a class's journals at."""
