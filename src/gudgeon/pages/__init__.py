"""The record goes in, local web pages come out; templates hold no decisions."""

from gudgeon.pages.app import House, make_app
from gudgeon.pages.guard import LOOPBACK

__all__ = ["LOOPBACK", "House", "make_app"]
