"""Keys of the book's rows."""

from __future__ import annotations

from uuid import UUID


def new_key() -> UUID:
    """A new key that sorts by the time it was made (UUID version 7, RFC 9562)."""
    from uuid_utils.compat import uuid7

    return uuid7()
