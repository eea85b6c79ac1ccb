"""The first tables of the book."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from hoofbook.records.steps import parts

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    _make_book()
    _make_correction()
    _make_person()
    _make_yard()
    _make_horse()
    _make_event()
    _make_foot()
    _make_paper()
    _make_vet_value()
    _make_visit()
    _make_finding()
    _make_foot_work()
    _make_goal()
    _make_hand_measure()
    _make_measure()
    _make_photo()
    _make_marking_pass()
    _make_measure_photo()
    _make_sighting()


def _make_book() -> None:
    op.create_table(
        "book",
        parts.key(),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("writes", sa.Integer(), nullable=False),
        *parts.stamps(),
    )


def _make_correction() -> None:
    op.create_table(
        "correction",
        parts.key(),
        *parts.texts("subject"),
        sa.Column("subject_key", sa.Uuid(), nullable=False),
        *parts.texts("field_name", "old", "new"),
        *parts.stamps(),
    )
    op.create_index("ix_correction_subject_key", "correction", ["subject_key"])


def _make_person() -> None:
    op.create_table(
        "person",
        parts.key(),
        *parts.texts("name"),
        parts.words("role", "owner", "payer", "contact", "vet", "farrier"),
        *parts.texts("phone", "note"),
        *parts.days("consent_keep", "consent_vet", "consent_teaching", "consent_publish"),
        *parts.revision(),
        *parts.stamps(),
    )


def _make_yard() -> None:
    op.create_table("yard", parts.key(), *parts.texts("name", "note"), *parts.revision(), *parts.stamps())


def _make_horse() -> None:
    op.create_table(
        "horse",
        parts.key(),
        *parts.texts("name"),
        parts.words("status", "active", "resting", "sold", "moved", "died"),
        *parts.texts("sex"),
        sa.Column("born", sa.Integer(), nullable=True),
        *parts.texts("breed", "colour", "markings"),
        *parts.numbers("height_cm", "weight_kg"),
        *parts.texts("work", "keeping", "handling", "identity", "note"),
        parts.refers("owner_id", "person", needed=False),
        parts.refers("payer_id", "person", needed=False),
        parts.refers("contact_id", "person", needed=False),
        parts.refers("vet_id", "person", needed=False),
        parts.refers("yard_id", "yard", needed=False),
        sa.Column("interval_weeks", sa.Integer(), nullable=False),
        *parts.days("next_due"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_horse_contact_id", "horse", ["contact_id"])
    op.create_index("ix_horse_next_due", "horse", ["next_due"])
    op.create_index("ix_horse_owner_id", "horse", ["owner_id"])
    op.create_index("ix_horse_payer_id", "horse", ["payer_id"])
    op.create_index("ix_horse_vet_id", "horse", ["vet_id"])
    op.create_index("ix_horse_yard_id", "horse", ["yard_id"])


def _make_event() -> None:
    op.create_table(
        "event",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        parts.words("kind", "lost shoe", "call", "advice", "incident", "vet's films", "direction from vet", "note"),
        parts.foot(needed=False),
        *parts.texts("words", "told_by"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_event_horse_id_day", "event", ["horse_id", "day"])


def _make_foot() -> None:
    op.create_table(
        "foot",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.foot(),
        *parts.texts("horn", "shape", "usual_shoe", "lasting_marks"),
        *parts.revision(),
        *parts.stamps(),
        sa.UniqueConstraint("horse_id", "foot"),
    )


def _make_paper() -> None:
    op.create_table(
        "paper",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        *parts.texts("kind", "made_for", "sha256", "file_name", "wording_version"),
        *parts.stamps(),
    )
    op.create_index("ix_paper_horse_id", "paper", ["horse_id"])


def _make_vet_value() -> None:
    op.create_table(
        "vet_value",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.foot(),
        sa.Column("film_day", sa.Date(), nullable=False),
        *parts.texts("name"),
        sa.Column("value", sa.Float(53), nullable=False),
        *parts.texts("unit", "told_by", "note"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_vet_value_horse_id_film_day", "vet_value", ["horse_id", "film_day"])


def _make_visit() -> None:
    op.create_table(
        "visit",
        parts.key(),
        parts.refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        parts.words("kind", "routine", "lost shoe", "sore call", "first visit", "with vet", "check only"),
        *parts.texts("since_last", "ground", "weather", "stance", "walked_off", "advice", "watch_next", "note"),
        sa.Column("interval_weeks", sa.Integer(), nullable=True),
        *parts.days("next_due"),
        *parts.yes_no("finished"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_visit_horse_id_day", "visit", ["horse_id", "day"])


def _make_finding() -> None:
    op.create_table(
        "finding",
        parts.key(),
        parts.refers("visit_id", "visit"),
        parts.foot(),
        *parts.texts("term", "place"),
        *parts.numbers("size_mm"),
        *parts.texts("severity", "grade_scale", "note"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_finding_visit_id", "finding", ["visit_id"])


def _make_foot_work() -> None:
    op.create_table(
        "foot_work",
        parts.key(),
        parts.refers("visit_id", "visit"),
        parts.foot(),
        *parts.texts("shoe_on_arrival", "landing", "pulse"),
        parts.words("sole_before", "chalky, flaking", "packed", "live (waxy)", "soft", "bruised", "not looked"),
        parts.words("sole_after", "chalky, flaking", "packed", "live (waxy)", "soft", "bruised", "not looked"),
        *parts.yes_no("sole_wet"),
        parts.words(
            "work",
            "nothing",
            "trim",
            "shoes off, left bare",
            "reset",
            "new, nailed",
            "new, glued",
            "boot",
            "pad only",
            "repair",
            "tightened",
            needed=False,
        ),
        parts.words("shoeing", "bare", "nailed", "glued", needed=False),
        parts.words("sole_pared", "none", "loose flakes only", "to live sole", "opened by vet", "not said"),
        *parts.texts("shoe", "shoe_wear", "nails", "pad", "packing", "adhesive", "reason", "note"),
        *parts.revision(),
        *parts.stamps(),
        sa.UniqueConstraint("visit_id", "foot"),
    )


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
        *parts.days("ended_on"),
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_goal_horse_id_foot", "goal", ["horse_id", "foot"])
    op.create_index("ix_goal_prompted_by_id", "goal", ["prompted_by_id"])


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
        *parts.revision(),
        *parts.stamps(),
    )
    op.create_index("ix_hand_measure_horse_id_day", "hand_measure", ["horse_id", "day"])
    op.create_index("ix_hand_measure_visit_id", "hand_measure", ["visit_id"])


def _make_measure() -> None:
    op.create_table(
        "measure",
        parts.key(),
        parts.refers("horse_id", "horse"),
        parts.refers("visit_id", "visit", needed=False),
        parts.foot(),
        parts.words("moment", *parts.MOMENTS),
        *parts.texts("quantity", "passes"),
        sa.Column("computed_at", sa.DateTime(), nullable=False),
        *parts.texts("measure"),
        parts.words("definition", *parts.DEFINITIONS),
        *parts.stamps(),
    )
    op.create_index("ix_measure_horse_id_measure", "measure", ["horse_id", "measure"])
    op.create_index("ix_measure_visit_id", "measure", ["visit_id"])


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
        *parts.yes_no("shod", "foot_checked", "picture_only", "set_aside"),
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


def _make_marking_pass() -> None:
    op.create_table(
        "marking_pass",
        parts.key(),
        parts.refers("photo_id", "photo"),
        *parts.texts("marked_by"),
        sa.Column("marked_at", sa.DateTime(), nullable=False),
        *parts.texts("marking"),
        *parts.numbers("placing_px"),
        sa.Column("ruler_a", sa.Text(), nullable=True),
        sa.Column("ruler_b", sa.Text(), nullable=True),
        *parts.numbers("ruler_mm", "foot_width_mm", "foot_width_u_mm"),
        sa.Column("card_size_mm", sa.Text(), nullable=True),
        *parts.yes_no("blind"),
        *parts.stamps(),
    )
    op.create_index("ix_marking_pass_photo_id", "marking_pass", ["photo_id"])


def _make_measure_photo() -> None:
    op.create_table(
        "measure_photo",
        parts.key(),
        parts.refers("measure_id", "measure"),
        parts.refers("photo_id", "photo"),
        *parts.stamps(),
    )
    op.create_index("ix_measure_photo_measure_id", "measure_photo", ["measure_id"])
    op.create_index("ix_measure_photo_photo_id", "measure_photo", ["photo_id"])


def _make_sighting() -> None:
    op.create_table(
        "sighting",
        parts.key(),
        parts.refers("photo_id", "photo"),
        *parts.texts("detector"),
        sa.Column("card", sa.Text(), nullable=True),
        sa.Column("seen_at", sa.DateTime(), nullable=False),
        *parts.stamps(),
    )
    op.create_index("ix_sighting_photo_id", "sighting", ["photo_id"])
