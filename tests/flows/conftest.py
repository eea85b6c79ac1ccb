"""Whole ways through the program share one sample book."""

from tests.samples import opened_sample, own_sample_book, sample_book

__all__ = ["opened_sample", "own_sample_book", "sample_book"]
