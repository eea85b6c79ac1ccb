"""The first tables of the book."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

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


def _key() -> sa.Column[object]:
    return sa.Column("key", sa.Uuid(), primary_key=True)


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def _numbers(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Float(53), nullable=True) for name in names]


def _yes_no(*names: str) -> list[sa.Column[bool]]:
    return [sa.Column(name, sa.Boolean(), nullable=False) for name in names]


def _days(*names: str) -> list[sa.Column[object]]:
    return [sa.Column(name, sa.Date(), nullable=True) for name in names]


def _words(name: str, *words: str, needed: bool = True) -> sa.Column[str]:
    kind = sa.Enum(*words, name=name, native_enum=False, create_constraint=True, length=40)
    return sa.Column(name, kind, nullable=not needed)


def _foot(*, needed: bool = True) -> sa.Column[str]:
    return _words("foot", "LF", "RF", "LH", "RH", needed=needed)


def _refers(column: str, table: str, *, needed: bool = True) -> sa.Column[object]:
    target = sa.ForeignKey(f"{table}.key", ondelete="RESTRICT")
    return sa.Column(column, sa.Uuid(), target, nullable=not needed)


def _stamps() -> list[sa.Column[object]]:
    return [sa.Column("changed_at", sa.DateTime(), nullable=False), sa.Column("changed_by", sa.Text(), nullable=False)]


def _revision() -> list[sa.schema.SchemaItem]:
    return [sa.Column("revision", sa.Integer(), nullable=False), sa.CheckConstraint("revision >= 1", name="revision")]


def _make_book() -> None:
    op.create_table(
        "book",
        _key(),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("writes", sa.Integer(), nullable=False),
        *_stamps(),
    )


def _make_correction() -> None:
    op.create_table(
        "correction",
        _key(),
        *_texts("subject"),
        sa.Column("subject_key", sa.Uuid(), nullable=False),
        *_texts("field_name", "old", "new"),
        *_stamps(),
    )
    op.create_index("ix_correction_subject_key", "correction", ["subject_key"])


def _make_person() -> None:
    op.create_table(
        "person",
        _key(),
        *_texts("name"),
        _words("role", "owner", "payer", "contact", "vet", "farrier"),
        *_texts("phone", "note"),
        *_days("consent_keep", "consent_vet", "consent_teaching", "consent_publish"),
        *_revision(),
        *_stamps(),
    )


def _make_yard() -> None:
    op.create_table("yard", _key(), *_texts("name", "note"), *_revision(), *_stamps())


def _make_horse() -> None:
    op.create_table(
        "horse",
        _key(),
        *_texts("name"),
        _words("status", "active", "resting", "sold", "moved", "died"),
        *_texts("sex"),
        sa.Column("born", sa.Integer(), nullable=True),
        *_texts("breed", "colour", "markings"),
        *_numbers("height_cm", "weight_kg"),
        *_texts("work", "keeping", "handling", "identity", "note"),
        _refers("owner_id", "person", needed=False),
        _refers("payer_id", "person", needed=False),
        _refers("contact_id", "person", needed=False),
        _refers("vet_id", "person", needed=False),
        _refers("yard_id", "yard", needed=False),
        sa.Column("interval_weeks", sa.Integer(), nullable=False),
        *_days("next_due"),
        *_revision(),
        *_stamps(),
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
        _key(),
        _refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        _words("kind", "lost shoe", "call", "advice", "incident", "vet's films", "direction from vet", "note"),
        _foot(needed=False),
        *_texts("words", "told_by"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_event_horse_id_day", "event", ["horse_id", "day"])


def _make_foot() -> None:
    op.create_table(
        "foot",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        *_texts("horn", "shape", "usual_shoe", "lasting_marks"),
        *_revision(),
        *_stamps(),
        sa.UniqueConstraint("horse_id", "foot"),
    )


def _make_paper() -> None:
    op.create_table(
        "paper",
        _key(),
        _refers("horse_id", "horse"),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        *_texts("kind", "made_for", "sha256", "file_name", "wording_version"),
        *_stamps(),
    )
    op.create_index("ix_paper_horse_id", "paper", ["horse_id"])


def _make_vet_value() -> None:
    op.create_table(
        "vet_value",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        sa.Column("film_day", sa.Date(), nullable=False),
        *_texts("name"),
        sa.Column("value", sa.Float(53), nullable=False),
        *_texts("unit", "told_by", "note"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_vet_value_horse_id_film_day", "vet_value", ["horse_id", "film_day"])


def _make_visit() -> None:
    op.create_table(
        "visit",
        _key(),
        _refers("horse_id", "horse"),
        sa.Column("day", sa.Date(), nullable=False),
        _words("kind", "routine", "lost shoe", "sore call", "first visit", "with vet", "check only"),
        *_texts("since_last", "ground", "weather", "stance", "walked_off", "advice", "watch_next", "note"),
        sa.Column("interval_weeks", sa.Integer(), nullable=True),
        *_days("next_due"),
        *_yes_no("finished"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_visit_horse_id_day", "visit", ["horse_id", "day"])


def _make_finding() -> None:
    op.create_table(
        "finding",
        _key(),
        _refers("visit_id", "visit"),
        _foot(),
        *_texts("term", "place"),
        *_numbers("size_mm"),
        *_texts("severity", "grade_scale", "note"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_finding_visit_id", "finding", ["visit_id"])


def _make_foot_work() -> None:
    op.create_table(
        "foot_work",
        _key(),
        _refers("visit_id", "visit"),
        _foot(),
        *_texts("shoe_on_arrival", "landing", "pulse"),
        _words("sole_before", "chalky, flaking", "packed", "live (waxy)", "soft", "bruised", "not looked"),
        _words("sole_after", "chalky, flaking", "packed", "live (waxy)", "soft", "bruised", "not looked"),
        *_yes_no("sole_wet"),
        _words(
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
        _words("shoeing", "bare", "nailed", "glued", needed=False),
        _words("sole_pared", "none", "loose flakes only", "to live sole", "opened by vet", "not said"),
        *_texts("shoe", "shoe_wear", "nails", "pad", "packing", "adhesive", "reason", "note"),
        *_revision(),
        *_stamps(),
        sa.UniqueConstraint("visit_id", "foot"),
    )


def _make_goal() -> None:
    op.create_table(
        "goal",
        _key(),
        _refers("horse_id", "horse"),
        _foot(),
        *_texts("measure"),
        _words("definition", "", "from_sole_edge", "from_wall_edge", "hand_gauge", "along_sole"),
        _words("wanted", "more", "less", "keep"),
        sa.Column("set_on", sa.Date(), nullable=False),
        *_texts("note"),
        _refers("prompted_by_id", "visit", needed=False),
        *_days("ended_on"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_goal_horse_id_foot", "goal", ["horse_id", "foot"])
    op.create_index("ix_goal_prompted_by_id", "goal", ["prompted_by_id"])


def _make_hand_measure() -> None:
    op.create_table(
        "hand_measure",
        _key(),
        _refers("horse_id", "horse"),
        _refers("visit_id", "visit", needed=False),
        sa.Column("day", sa.Date(), nullable=False),
        _foot(),
        _words("moment", "as arrived", "before trim", "after trim", "finished", "between visits"),
        *_texts("measure"),
        _words("definition", "", "from_sole_edge", "from_wall_edge", "hand_gauge", "along_sole"),
        sa.Column("value", sa.Float(53), nullable=False),
        *_numbers("u"),
        *_texts("read_by", "note"),
        *_revision(),
        *_stamps(),
    )
    op.create_index("ix_hand_measure_horse_id_day", "hand_measure", ["horse_id", "day"])
    op.create_index("ix_hand_measure_visit_id", "hand_measure", ["visit_id"])


def _make_measure() -> None:
    op.create_table(
        "measure",
        _key(),
        _refers("horse_id", "horse"),
        _refers("visit_id", "visit", needed=False),
        _foot(),
        _words("moment", "as arrived", "before trim", "after trim", "finished", "between visits"),
        *_texts("quantity", "passes"),
        sa.Column("computed_at", sa.DateTime(), nullable=False),
        *_texts("measure"),
        _words("definition", "", "from_sole_edge", "from_wall_edge", "hand_gauge", "along_sole"),
        *_stamps(),
    )
    op.create_index("ix_measure_horse_id_measure", "measure", ["horse_id", "measure"])
    op.create_index("ix_measure_visit_id", "measure", ["visit_id"])


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
        *_yes_no("shod", "foot_checked", "picture_only", "set_aside"),
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


def _make_marking_pass() -> None:
    op.create_table(
        "marking_pass",
        _key(),
        _refers("photo_id", "photo"),
        *_texts("marked_by"),
        sa.Column("marked_at", sa.DateTime(), nullable=False),
        *_texts("marking"),
        *_numbers("placing_px"),
        sa.Column("ruler_a", sa.Text(), nullable=True),
        sa.Column("ruler_b", sa.Text(), nullable=True),
        *_numbers("ruler_mm", "foot_width_mm", "foot_width_u_mm"),
        sa.Column("card_size_mm", sa.Text(), nullable=True),
        *_yes_no("blind"),
        *_stamps(),
    )
    op.create_index("ix_marking_pass_photo_id", "marking_pass", ["photo_id"])


def _make_measure_photo() -> None:
    op.create_table("measure_photo", _key(), _refers("measure_id", "measure"), _refers("photo_id", "photo"), *_stamps())
    op.create_index("ix_measure_photo_measure_id", "measure_photo", ["measure_id"])
    op.create_index("ix_measure_photo_photo_id", "measure_photo", ["photo_id"])


def _make_sighting() -> None:
    op.create_table(
        "sighting",
        _key(),
        _refers("photo_id", "photo"),
        *_texts("detector"),
        sa.Column("card", sa.Text(), nullable=True),
        sa.Column("seen_at", sa.DateTime(), nullable=False),
        *_stamps(),
    )
    op.create_index("ix_sighting_photo_id", "sighting", ["photo_id"])
