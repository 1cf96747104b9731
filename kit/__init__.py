"""A maintenance visit to a simulated ductless heat pump, and its marking."""

__version__ = "0.1.0"
__all__ = ["__version__", "mark", "open_visit"]

TYPE_CHECKING = False
if TYPE_CHECKING:
    from kit.marking import mark
    from kit.visit import open_visit


def __getattr__(name: str) -> object:
    """Import `open_visit` and `mark` on first use: `python3 -m kit` starts without numpy."""
    if name == "open_visit":
        from kit.visit import open_visit

        return open_visit
    if name == "mark":
        from kit.marking import mark

        return mark
    raise AttributeError("module 'kit' has no attribute %r" % name)  # noqa: UP031 - old Pythons
