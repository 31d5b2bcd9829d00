"""Record rows go in, text that people read comes out: summary, brief, build record."""

__all__: list[str] = []
