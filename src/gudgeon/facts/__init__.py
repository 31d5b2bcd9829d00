"""A note's text goes in, facts come out: rules and word lists as data tables, each fact with its rule and its span."""

from gudgeon.facts.reader import Reader

__all__ = ["Reader"]
