"""gudgeon: workshop talk goes in (sound or text), a checked build record comes out, all on one computer without a network."""

__version__ = "0.1.0"
