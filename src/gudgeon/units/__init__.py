"""Unit words go in, exact units and quantities come out: the one list of unit words in the whole house."""

from gudgeon.units.convert import convert, to_nm
from gudgeon.units.sounds import Sounds
from gudgeon.units.words import UnitHit, UnitWords

__all__ = ["Sounds", "UnitHit", "UnitWords", "convert", "to_nm"]
