"""Heard or typed text goes in, tokens come out: spoken numbers, fractions and letters read as figures, each still pointing at its source."""

__all__: list[str] = []
