"""Parts that the steps are written with. What stands here never changes: a step taken today and one taken in years
must make the same tables. A part that should be otherwise gets another name.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import sqlalchemy as sa
from alembic import op

DEFINITIONS = ("", "from_sole_edge", "from_wall_edge", "hand_gauge", "along_sole")
VIEWS = ("lateral", "dorsal", "palmar", "plantar", "solar", "along_sole", "whole")
MOMENTS = ("as arrived", "before trim", "after trim", "finished", "between visits")


def make_again(table: str, make: Callable[[], None], new: Mapping[str, str]) -> None:
    """The table with its new columns in their place; its rows wait beside it (references are off meanwhile)."""
    columns = [column["name"] for column in sa.inspect(op.get_bind()).get_columns(table)]
    kept = ", ".join(columns)
    op.execute(f"CREATE TEMPORARY TABLE kept_rows AS SELECT {kept} FROM {table}")
    op.drop_table(table)
    make()
    names, values = ", ".join((kept, *new)), ", ".join((kept, *new.values()))
    op.execute(f"INSERT INTO {table} ({names}) SELECT {values} FROM kept_rows")
    op.execute("DROP TABLE kept_rows")


def key() -> sa.Column[object]:
    return sa.Column("key", sa.Uuid(), primary_key=True)


def texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def numbers(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Float(53), nullable=True) for name in names]


def yes_no(*names: str) -> list[sa.Column[bool]]:
    return [sa.Column(name, sa.Boolean(), nullable=False) for name in names]


def days(*names: str) -> list[sa.Column[object]]:
    return [sa.Column(name, sa.Date(), nullable=True) for name in names]


def words(name: str, *listed: str, needed: bool = True) -> sa.Column[str]:
    kind = sa.Enum(*listed, name=name, native_enum=False, create_constraint=True, length=40)
    return sa.Column(name, kind, nullable=not needed)


def foot(name: str = "foot", *, needed: bool = True) -> sa.Column[str]:
    return words(name, "LF", "RF", "LH", "RH", needed=needed)


def refers(column: str, table: str, *, needed: bool = True) -> sa.Column[object]:
    target = sa.ForeignKey(f"{table}.key", ondelete="RESTRICT")
    return sa.Column(column, sa.Uuid(), target, nullable=not needed)


def stamps() -> list[sa.Column[object]]:
    return [sa.Column("changed_at", sa.DateTime(), nullable=False), sa.Column("changed_by", sa.Text(), nullable=False)]


def revision() -> list[sa.schema.SchemaItem]:
    return [sa.Column("revision", sa.Integer(), nullable=False), sa.CheckConstraint("revision >= 1", name="revision")]
