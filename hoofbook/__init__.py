"""Hoofbook: horses, visits, marked hoof photos, and what changed between them."""

PRODUCT_NAME = "Hoofbook"
__version__ = "0.1.0"
