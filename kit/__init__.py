"""A maintenance visit to a simulated ductless heat pump, and its marking."""

# This file and __main__.py are read by any Python, old ones included, before one is turned away:
# no annotations, no f-strings.

__version__ = "0.1.0"
__all__ = ["__version__", "mark", "open_visit"]

TYPE_CHECKING = False
if TYPE_CHECKING:
    from kit.journal import open_visit
    from kit.marking.mark import mark


def __getattr__(name):
    """Import `open_visit` and `mark` on first use, so that `import kit` stays quick."""
    if name == "open_visit":
        from kit.journal import open_visit

        return open_visit
    if name == "mark":
        from kit.marking.mark import mark

        return mark
    raise AttributeError("module 'kit' has no attribute %r" % name)
