"""What tells one set of catalogs from another: a hash of everything that they hold."""

from __future__ import annotations

import json
from dataclasses import fields
from hashlib import blake2b
from typing import get_type_hints

from ..solver.catalog import Catalog
from .codec import encode


def fingerprint(catalog: Catalog) -> str:
    """Return the hash, as hexadecimal digits; it is the same on every machine, and however the folders are ordered."""
    hints = get_type_hints(Catalog)
    plain = [encode(getattr(catalog, each.name), hints[each.name]) for each in fields(catalog)]
    text = json.dumps(plain, sort_keys=True, separators=(",", ":"))
    return blake2b(text.encode(), digest_size=16).hexdigest()
