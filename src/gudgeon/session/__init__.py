"""A recording, a text or a typed line goes in, a finished session in the record comes out: one named stage a room."""

__all__: list[str] = []
