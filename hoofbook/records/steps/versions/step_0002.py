"""Goals of a pair, retakes and photos from the inside, limits a person set, and series measured anew."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from hoofbook.records.steps import parts

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    parts.make_again("goal", _make_goal, {"less": "NULL"})
    parts.make_again("photo", _make_photo, {"retake": "0", "from_inside": "0"})
    _make_foot_limit()
    _make_measured_anew()


def _make_goal() -> None:
    op.create_table(
        "goal",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.foot(),
        *parts.texts("measure"),
        parts.words("definition", *parts.DEFINITIONS),
        parts.words("wanted", "more", "less", "keep"),
        sa.Column("set_on", sa.Date(), nullable=False),
        *parts.texts("note"),
        parts.refers("prompted_by_id", "visit", needed=False),
        sa.Column("ended_on", sa.Date(), nullable=True),
        parts.foot("less", needed=False),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_goal_horse_id_foot", "goal", ["horse_id", "foot"])
    op.create_index("ix_goal_prompted_by_id", "goal", ["prompted_by_id"])


def _make_photo() -> None:
    op.create_table(
        "photo",
        parts.key(),
        parts.refers("horse_id", "horse"),
        *parts.texts("sha256", "suffix"),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        parts.refers("visit_id", "visit", needed=False),
        parts.foot(needed=False),
        parts.words("view", *parts.VIEWS, needed=False),
        parts.words("moment", *parts.MOMENTS, needed=False),
        *parts.texts("set_name", "given_name"),
        sa.Column("taken_at", sa.DateTime(), nullable=True),
        *parts.texts("local_time"),
        sa.Column("utc_offset_minutes", sa.Integer(), nullable=True),
        *parts.numbers("focal_35mm"),
        *parts.texts("camera", "software"),
        parts.words("card_plane", "mid-line", "near wall", "bearing plane", "unsure"),
        parts.words("card_stands_on", "floor", "foot", "unknown"),
        *parts.yes_no("shod", "foot_checked", "picture_only", "set_aside", "retake", "from_inside"),
        *parts.texts("remarks", "note"),
        sa.Column("added_at", sa.DateTime(), nullable=True),
        *parts.revision(),
        *parts.stamps(),
        sa.CheckConstraint("length(sha256) = 64", name="sha256"),
        sa.CheckConstraint("width >= 1 AND height >= 1", name="size"),
    )
    op.create_index("ix_photo_horse_id", "photo", ["horse_id"])
    op.create_index("ix_photo_sha256", "photo", ["sha256"])
    op.create_index("ix_photo_visit_id", "photo", ["visit_id"])


def _make_foot_limit() -> None:
    op.create_table(
        "foot_limit",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.foot(),
        *parts.texts("measure"),
        parts.words("definition", *parts.DEFINITIONS),
        sa.Column("value", sa.Float(53), nullable=False),
        sa.Column("set_on", sa.Date(), nullable=False),
        *parts.texts("note"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_foot_limit_horse_id", "foot_limit", ["horse_id"])


def _make_measured_anew() -> None:
    op.create_table(
        "measured_anew",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.foot(),
        parts.foot("less", needed=False),
        *parts.texts("measure"),
        parts.words("definition", *parts.DEFINITIONS),
        sa.Column("at", sa.DateTime(), nullable=False),
        *parts.texts("old_method", "new_method", "old_words", "new_words"),
        *parts.yes_no("seen"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_measured_anew_horse_id", "measured_anew", ["horse_id"])
