"""Goals of a pair, retakes and photos from the inside, limits a person set, and series measured anew."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_DEFINITIONS = ("", "from_sole_edge", "from_wall_edge", "hand_gauge", "along_sole")


def upgrade() -> None:
    _make_again("goal", _make_goal, {"less": "NULL"})
    _make_again("photo", _make_photo, {"retake": "0", "from_inside": "0"})
    _make_foot_limit()
    _make_measured_anew()


def _make_again(table: str, make: Callable[[], None], new: Mapping[str, str]) -> None:
    """The table with its new columns in their place; its rows wait beside it (references are off meanwhile)."""
    columns = [column["name"] for column in sa.inspect(op.get_bind()).get_columns(table)]
    kept = ", ".join(columns)
    op.execute(f"CREATE TEMPORARY TABLE kept_rows AS SELECT {kept} FROM {table}")
    op.drop_table(table)
    make()
    names, values = ", ".join(new), ", ".join(new.values())
    op.execute(f"INSERT INTO {table} ({kept}, {names}) SELECT {kept}, {values} FROM kept_rows")
    op.execute("DROP TABLE kept_rows")


def _key() -> sa.Column[object]:
    return sa.Column("key", sa.Uuid(), primary_key=True)


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def _numbers(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Float(53), nullable=True) for name in names]


def _yes_no(*names: str) -> list[sa.Column[bool]]:
    return [sa.Column(name, sa.Boolean(), nullable=False) for name in names]


def _words(name: str, *words: str, needed: bool = True) -> sa.Column[str]:
    kind = sa.Enum(*words, name=name, native_enum=False, create_constraint=True, length=40)
    return sa.Column(name, kind, nullable=not needed)


def _foot(name: str = "foot", *, needed: bool = True) -> sa.Column[str]:
    return _words(name, "LF", "RF", "LH", "RH", needed=needed)


def _refers(column: str, table: str, *, needed: bool = True) -> sa.Column[object]:
    target = sa.ForeignKey(f"{table}.key", ondelete="RESTRICT")
    return sa.Column(column, sa.Uuid(), target, nullable=not needed)


def _stamps() -> list[sa.Column[object]]:
    return [sa.Column("changed_at", sa.DateTime(), nullable=False), sa.Column("changed_by", sa.Text(), nullable=False)]


def _revision() -> list[sa.schema.SchemaItem]:
    return [sa.Column("revision", sa.Integer(), nullable=False), sa.CheckConstraint("revision >= 1", name="revision")]


def _make_goal() -> None:
    op.create_table(
        "goal",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        *_texts("measure"),
        _words("definition", *_DEFINITIONS),
        _words("wanted", "more", "less", "keep"),
        sa.Column("set_on", sa.Date(), nullable=False),
        *_texts("note"),
        _refers("prompted_by_id", "visit", needed=False),
        sa.Column("ended_on", sa.Date(), nullable=True),
        _foot("less", needed=False),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_goal_horse_id_foot", "goal", ["horse_id", "foot"])
    op.create_index("ix_goal_prompted_by_id", "goal", ["prompted_by_id"])


def _make_photo() -> None:
    op.create_table(
        "photo",
        _key(),
        _refers("horse_id", "horse"),
        *_texts("sha256", "suffix"),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        _refers("visit_id", "visit", needed=False),
        _foot(needed=False),
        _words("view", "lateral", "dorsal", "palmar", "plantar", "solar", "along_sole", "whole", needed=False),
        _words("moment", "as arrived", "before trim", "after trim", "finished", "between visits", needed=False),
        *_texts("set_name", "given_name"),
        sa.Column("taken_at", sa.DateTime(), nullable=True),
        *_texts("local_time"),
        sa.Column("utc_offset_minutes", sa.Integer(), nullable=True),
        *_numbers("focal_35mm"),
        *_texts("camera", "software"),
        _words("card_plane", "mid-line", "near wall", "bearing plane", "unsure"),
        _words("card_stands_on", "floor", "foot", "unknown"),
        *_yes_no("shod", "foot_checked", "picture_only", "set_aside", "retake", "from_inside"),
        *_texts("remarks", "note"),
        sa.Column("added_at", sa.DateTime(), nullable=True),
        *_revision(),
        *_stamps(),
        sa.CheckConstraint("length(sha256) = 64", name="sha256"),
        sa.CheckConstraint("width >= 1 AND height >= 1", name="size"),
    )
    op.create_index("ix_photo_horse_id", "photo", ["horse_id"])
    op.create_index("ix_photo_sha256", "photo", ["sha256"])
    op.create_index("ix_photo_visit_id", "photo", ["visit_id"])


def _make_foot_limit() -> None:
    op.create_table(
        "foot_limit",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        *_texts("measure"),
        _words("definition", *_DEFINITIONS),
        sa.Column("value", sa.Float(53), nullable=False),
        sa.Column("set_on", sa.Date(), nullable=False),
        *_texts("note"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_foot_limit_horse_id", "foot_limit", ["horse_id"])


def _make_measured_anew() -> None:
    op.create_table(
        "measured_anew",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        _foot("less", needed=False),
        *_texts("measure"),
        _words("definition", *_DEFINITIONS),
        sa.Column("at", sa.DateTime(), nullable=False),
        *_texts("old_method", "new_method", "old_words", "new_words"),
        *_yes_no("seen"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_measured_anew_horse_id", "measured_anew", ["horse_id"])
