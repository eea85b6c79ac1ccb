"""Parts of a photo that nobody shall see, the vet's images, what a paper told and when it was sent, the days since the
trim that a notebook told, and the vet's answer among the events."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from hoofbook.records.steps import parts

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    parts.make_again("photo", _make_photo, {"covered": "'[]'", "shows_blood": "0"})
    parts.make_again("paper", _make_paper, {"numbers": "'[]'"})
    parts.make_again("hand_measure", _make_hand_measure, {"days_since_trim": "NULL"})
    parts.make_again("event", _make_event, {})
    _make_paper_sent()
    _make_vet_image()


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
        *parts.texts("covered"),
        *parts.yes_no("shows_blood"),
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


def _make_paper() -> None:
    op.create_table(
        "paper",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        *parts.texts("kind", "made_for", "sha256", "file_name", "wording_version", "numbers"),
        *parts.stamps(),
    )
    op.create_index("ix_paper_horse_id", "paper", ["horse_id"])


def _make_paper_sent() -> None:
    op.create_table(
        "paper_sent",
        parts.key(),
        parts.refers("paper_id", "paper"),
        sa.Column("told_at", sa.DateTime(), nullable=False),
        *parts.days("sent_on"),
        *parts.stamps(),
    )
    op.create_index("ix_paper_sent_paper_id", "paper_sent", ["paper_id"])


def _make_hand_measure() -> None:
    op.create_table(
        "hand_measure",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.refers("visit_id", "visit", needed=False),
        sa.Column("day", sa.Date(), nullable=False),
        parts.foot(),
        parts.words("moment", *parts.MOMENTS),
        *parts.texts("measure"),
        parts.words("definition", *parts.DEFINITIONS),
        sa.Column("value", sa.Float(53), nullable=False),
        *parts.numbers("u"),
        *parts.texts("read_by", "note"),
        sa.Column("days_since_trim", sa.Integer(), nullable=True),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_hand_measure_horse_id_day", "hand_measure", ["horse_id", "day"])
    op.create_index("ix_hand_measure_visit_id", "hand_measure", ["visit_id"])


def _make_event() -> None:
    kinds = ("lost shoe", "call", "advice", "incident", "vet's films", "direction from vet", "vet's answer", "note")
    op.create_table(
        "event",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        parts.words("kind", *kinds),
        parts.foot(needed=False),
        *parts.texts("words", "told_by"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_event_horse_id_day", "event", ["horse_id", "day"])


def _make_vet_image() -> None:
    op.create_table(
        "vet_image",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        *parts.texts("sha256", "suffix"),
        parts.foot(needed=False),
        *parts.texts("view", "given_name", "received_from"),
        *parts.days("received_on"),
        *parts.texts("purpose", "note"),
        *parts.yes_no("set_aside"),
        *parts.revision(),
        *parts.stamps(),
        sa.CheckConstraint("length(sha256) = 64", name="sha256"),
    )
    op.create_index("ix_vet_image_horse_id_day", "vet_image", ["horse_id", "day"])
    op.create_index("ix_vet_image_sha256", "vet_image", ["sha256"])
