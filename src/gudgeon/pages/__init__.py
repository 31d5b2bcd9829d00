"""The record goes in, local web pages come out; templates hold no decisions."""

__all__: list[str] = []
