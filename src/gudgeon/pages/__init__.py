"""The record goes in, local web pages come out; templates hold no decisions."""

from gudgeon.pages.app import make_app
from gudgeon.pages.door import Door, address
from gudgeon.pages.guard import LOOPBACK
from gudgeon.pages.house import House

__all__ = ["LOOPBACK", "Door", "House", "address", "make_app"]
