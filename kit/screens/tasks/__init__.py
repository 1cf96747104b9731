"""The tasks of the lessons; one module a lesson, each with a tuple `TASKS`."""
