"""benchhand: walks a machinist through the shop's own procedures, works the numbers out, keeps a record."""

__version__ = "0.1.0"
