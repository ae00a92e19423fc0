"""What people typed, on its way into a table that a spreadsheet opens."""

_STARTS_FORMULA = ("=", "+", "-", "@", "\t")  # a spreadsheet would compute such a cell


def as_cell(typed: str) -> str:
    """The text, so that no spreadsheet takes it for a formula.

    Examples
    --------
    >>> as_cell("A-S001"), as_cell("=1+1")
    ('A-S001', "'=1+1")
    """
    return f"'{typed}" if typed.startswith(_STARTS_FORMULA) else typed
