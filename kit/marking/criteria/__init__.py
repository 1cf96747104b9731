"""The criteria, by what they look at; the folder is the registry."""
