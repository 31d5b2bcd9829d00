"""Sessions, notes, entries and open items go in and are found again: the only room that knows SQL."""

__all__: list[str] = []
