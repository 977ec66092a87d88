"""What the tests of this folder share."""

from tests.security.world import world

__all__ = ["world"]
