"""Unit words go in, exact units and quantities come out: the one list of unit words in the whole house."""

__all__: list[str] = []
