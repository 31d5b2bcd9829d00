"""A clip goes in, heard text with confidence comes out: one protocol, one file a recogniser."""

__all__: list[str] = []
