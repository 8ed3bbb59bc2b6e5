"""The catalog format and the bundled catalogs."""

from .fault import CatalogError, Fault
from .load import check, examine, load

__all__ = ["CatalogError", "Fault", "check", "examine", "load"]
