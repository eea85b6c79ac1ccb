"""Whole ways through the program share one sample book."""

from tests.flows.handovers import copper_folder, larkspur_zip, next_book
from tests.samples import opened_sample, own_sample_book, sample_book

__all__ = ["copper_folder", "larkspur_zip", "next_book", "opened_sample", "own_sample_book", "sample_book"]
