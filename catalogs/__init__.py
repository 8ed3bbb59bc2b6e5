"""The catalog format and the bundled catalogs."""

from .fault import CatalogError, Fault
from .load import check, load

__all__ = ["CatalogError", "Fault", "check", "load"]
