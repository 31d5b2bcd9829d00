"""Facts of several notes go in, entries come out: what belongs to what, and which joint of the spec sheet it is."""

__all__: list[str] = []
