"""The tables of a Handover: records as CSV for whoever has no program for them, one row a record."""

from __future__ import annotations

from collections.abc import Mapping

from hoofbook.casework.handover_records import KINDS, Handover
from hoofbook.terms.subjects import Photo, VetImage
from hoofbook.wording.handover import FILE_HEADS, TABLES


def tables_of(handover: Handover) -> Mapping[str, bytes]:
    """CSV bytes by file name; heads are the names of the fields, values as records.json has them."""
    from hoofbook.papers.safe_csv import csv_bytes
    from hoofbook.records.mapping import as_text, fields_of, table_of

    found = {}
    for kind in KINDS:
        name, rows = TABLES.get(table_of(kind).name, ""), handover.of(kind)
        if name and rows:
            fields = fields_of(kind)
            lines = [[as_text(getattr(row, field)) for field in fields] for row in rows]
            found[f"{name}.csv"] = csv_bytes(fields, lines)
    given = {photo.key: photo.given_name for photo in handover.of(Photo)}
    given |= {image.key: image.given_name for image in handover.of(VetImage)}
    files = [[file.file, given[file.key], file.sha256, file.original_sha256] for file in handover.files]
    return {**found, "files.csv": csv_bytes(FILE_HEADS, files)} if files else found
