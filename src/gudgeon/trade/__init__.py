"""Threads, grades, friction and sizes go in as tables with sources, the trade's sums come out."""

__all__: list[str] = []
