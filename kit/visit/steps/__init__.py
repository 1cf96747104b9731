"""The actions of a visit, one module for each phase; the folder is the registry."""
