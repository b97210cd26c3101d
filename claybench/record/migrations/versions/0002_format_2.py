"""Format 2: properties a lab declares itself, instruments, cones in the kiln, people, reminders and profiles.

Readings get further subjects, a method, a sign and an upper end; lists of words that are open lose their CHECK.
Written out in full and never edited: later changes are later migrations.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

AUTO = {"sqlite_autoincrement": True}
SUBJECT = (
    'CASE WHEN "piece_id" IS NULL THEN 0 ELSE 1 END + CASE WHEN "batch_id" IS NULL THEN 0 ELSE 1 END'
    ' + CASE WHEN "run_id" IS NULL THEN 0 ELSE 1 END + CASE WHEN "body_id" IS NULL THEN 0 ELSE 1 END'
    ' + CASE WHEN "slab_id" IS NULL THEN 0 ELSE 1 END + CASE WHEN "lot_id" IS NULL THEN 0 ELSE 1 END'
    ' + CASE WHEN "material_id" IS NULL THEN 0 ELSE 1 END'
    ' BETWEEN CASE WHEN "firing_id" IS NULL THEN 1 ELSE 0 END AND 1'
)
"""One thing is read: a piece, a batch and so on, or a firing alone."""
READING_KEY = (
    'coalesce("piece_id", 0)',
    'coalesce("batch_id", 0)',
    'coalesce("firing_id", 0)',
    "at",
    "what",
    'coalesce("run_id", 0)',
    'coalesce("body_id", 0)',
    'coalesce("slab_id", 0)',
    'coalesce("lot_id", 0)',
    'coalesce("material_id", 0)',
    "coalesce(\"together\", '')",
)
REBUILT = ("firings", "fired", "readings", "photos", "slab_log", "batch_log")
"""Tables that SQLite copies to change."""


def upgrade() -> None:
    """Make the new tables, then change those there are."""
    numbers = _last_numbers()
    _declared()
    _kept_beside()
    _change_firings()
    _change_readings()
    _change_photos()
    _change_logs()
    _set_last_numbers(numbers)
    op.execute("UPDATE settings SET value = '2' WHERE name = 'format'")


def _last_numbers() -> dict[str, int]:
    """The greatest number that a row of each table ever had, which SQLite forgets as it copies a table."""
    bind = op.get_bind()
    if bind.dialect.name != "sqlite":
        return {}
    rows = bind.exec_driver_sql("SELECT name, seq FROM sqlite_sequence")
    return {name: seq for name, seq in rows if name in REBUILT}


def _set_last_numbers(numbers: dict[str, int]) -> None:
    """No number is given out again: the history knows rows by it."""
    for name, seq in numbers.items():
        op.get_bind().exec_driver_sql("DELETE FROM sqlite_sequence WHERE name = ?", (name,))
        op.get_bind().exec_driver_sql("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", (name, seq))


def _declared() -> None:
    """Properties, what goes into them, and targets for them."""
    op.create_table(
        "properties",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("property", sa.String(length=40), nullable=False),
        sa.Column("property_fold", sa.String(length=120), nullable=False),
        sa.Column("title", sa.Text(), nullable=True),
        sa.Column("of", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("unit", sa.String(length=40), nullable=True),
        sa.Column("formula", sa.Text(), nullable=True),
        sa.Column("digits", sa.BigInteger(), nullable=True),
        sa.Column("low", sa.Float(precision=53), nullable=True),
        sa.Column("high", sa.Float(precision=53), nullable=True),
        sa.Column("usual_low", sa.Float(precision=53), nullable=True),
        sa.Column("usual_high", sa.Float(precision=53), nullable=True),
        sa.Column("better", sa.String(length=20), nullable=True),
        sa.Column("standard", sa.Text(), nullable=True),
        sa.Column("source", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint("\"better\" IN ('more', 'less', 'none')", name=("ck_properties_better")),
        sa.CheckConstraint('"digits" >= 0 AND "digits" <= 1000000000', name=("ck_properties_digits")),
        sa.CheckConstraint('length("formula") BETWEEN 1 AND 4000', name=("ck_properties_formula")),
        sa.CheckConstraint('"high" >= -1000000000 AND "high" <= 1000000000', name=("ck_properties_high")),
        sa.CheckConstraint("\"kind\" IN ('number', 'score', 'word')", name=("ck_properties_kind")),
        sa.CheckConstraint('"low" >= -1000000000 AND "low" <= 1000000000', name=("ck_properties_low")),
        sa.CheckConstraint('"low" <= "high"', name=("ck_properties_low_high")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_properties_note")),
        sa.CheckConstraint(
            "\"of\" IN ('piece', 'fired', 'batch', 'body', 'run', 'slab', 'lot', 'material', 'firing')",
            name=("ck_properties_of"),
        ),
        sa.CheckConstraint('length("property") BETWEEN 1 AND 40', name=("ck_properties_property")),
        sa.CheckConstraint('length("source") BETWEEN 1 AND 4000', name=("ck_properties_source")),
        sa.CheckConstraint('length("standard") BETWEEN 1 AND 4000', name=("ck_properties_standard")),
        sa.CheckConstraint('length("title") BETWEEN 1 AND 4000', name=("ck_properties_title")),
        sa.CheckConstraint('length("unit") BETWEEN 1 AND 40', name=("ck_properties_unit")),
        sa.CheckConstraint(
            '"usual_high" >= -1000000000 AND "usual_high" <= 1000000000', name=("ck_properties_usual_high")
        ),
        sa.CheckConstraint(
            '"usual_low" >= -1000000000 AND "usual_low" <= 1000000000', name=("ck_properties_usual_low")
        ),
        sa.CheckConstraint('"usual_low" <= "usual_high"', name=("ck_properties_usual_low_usual_high")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_properties_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_properties")),
        sa.UniqueConstraint("property_fold", name=("uq_properties_property_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_properties_act_id", "properties", ["act_id"], unique=False)
    op.create_table(
        "property_inputs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("property_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("input", sa.String(length=40), nullable=False),
        sa.Column("unit", sa.String(length=40), nullable=True),
        sa.Column("low", sa.Float(precision=53), nullable=True),
        sa.Column("high", sa.Float(precision=53), nullable=True),
        sa.Column("label", sa.Text(), nullable=True),
        sa.CheckConstraint('"high" >= -1000000000 AND "high" <= 1000000000', name=("ck_property_inputs_high")),
        sa.CheckConstraint('length("input") BETWEEN 1 AND 40', name=("ck_property_inputs_input")),
        sa.CheckConstraint('length("label") BETWEEN 1 AND 4000', name=("ck_property_inputs_label")),
        sa.CheckConstraint('"low" >= -1000000000 AND "low" <= 1000000000', name=("ck_property_inputs_low")),
        sa.CheckConstraint('"low" <= "high"', name=("ck_property_inputs_low_high")),
        sa.CheckConstraint('"position" >= 0 AND "position" <= 1000000000', name=("ck_property_inputs_position")),
        sa.CheckConstraint('length("unit") BETWEEN 1 AND 40', name=("ck_property_inputs_unit")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_property_inputs_act_id")),
        sa.ForeignKeyConstraint(
            ["property_id"], ["properties.id"], name=("fk_property_inputs_property_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_property_inputs")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_property_inputs_act_id", "property_inputs", ["act_id"], unique=False)
    op.create_index("uq_property_inputs_key", "property_inputs", ["property_id", "position"], unique=True)
    op.create_table(
        "property_words",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("property_id", sa.Integer(), nullable=False),
        sa.Column("score", sa.BigInteger(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.CheckConstraint('"score" >= -100 AND "score" <= 100', name=("ck_property_words_score")),
        sa.CheckConstraint('length("words") BETWEEN 1 AND 4000', name=("ck_property_words_words")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_property_words_act_id")),
        sa.ForeignKeyConstraint(
            ["property_id"], ["properties.id"], name=("fk_property_words_property_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_property_words")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_property_words_act_id", "property_words", ["act_id"], unique=False)
    op.create_index("uq_property_words_key", "property_words", ["property_id", "score"], unique=True)
    op.create_table(
        "profiles",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("profile", sa.String(length=40), nullable=False),
        sa.Column("profile_fold", sa.String(length=120), nullable=False),
        sa.Column("title", sa.Text(), nullable=True),
        sa.Column("family_id", sa.Integer(), nullable=True),
        sa.Column("cone", sa.Text(), nullable=True),
        sa.Column("peak_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('length("cone") BETWEEN 1 AND 4000', name=("ck_profiles_cone")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_profiles_note")),
        sa.CheckConstraint('"peak_temp_c" >= -50 AND "peak_temp_c" <= 2000', name=("ck_profiles_peak_temp_c")),
        sa.CheckConstraint('length("profile") BETWEEN 1 AND 40', name=("ck_profiles_profile")),
        sa.CheckConstraint('length("title") BETWEEN 1 AND 4000', name=("ck_profiles_title")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_profiles_act_id")),
        sa.ForeignKeyConstraint(["family_id"], ["families.id"], name=("fk_profiles_family_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_profiles")),
        sa.UniqueConstraint("profile_fold", name=("uq_profiles_profile_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_profiles_act_id", "profiles", ["act_id"], unique=False)
    op.create_index("ix_profiles_family_id", "profiles", ["family_id"], unique=False)
    op.create_table(
        "profile_targets",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("profile_id", sa.Integer(), nullable=False),
        sa.Column("property", sa.String(length=40), nullable=False),
        sa.Column("low", sa.Float(precision=53), nullable=True),
        sa.Column("high", sa.Float(precision=53), nullable=True),
        sa.CheckConstraint('"high" >= -1000000000 AND "high" <= 1000000000', name=("ck_profile_targets_high")),
        sa.CheckConstraint('"low" >= -1000000000 AND "low" <= 1000000000', name=("ck_profile_targets_low")),
        sa.CheckConstraint('"low" <= "high"', name=("ck_profile_targets_low_high")),
        sa.CheckConstraint('length("property") BETWEEN 1 AND 40', name=("ck_profile_targets_property")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_profile_targets_act_id")),
        sa.ForeignKeyConstraint(
            ["profile_id"], ["profiles.id"], name=("fk_profile_targets_profile_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_profile_targets")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_profile_targets_act_id", "profile_targets", ["act_id"], unique=False)
    op.create_index("uq_profile_targets_key", "profile_targets", ["profile_id", "property"], unique=True)


def _kept_beside() -> None:
    """People, instruments, reminders and cones."""
    op.create_table(
        "people",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("person", sa.String(length=40), nullable=False),
        sa.Column("person_fold", sa.String(length=120), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("role", sa.String(length=20), nullable=True),
        sa.Column("until", sa.String(length=27), nullable=True),
        sa.Column("until_offset", sa.Integer(), nullable=True),
        sa.CheckConstraint('length("name") BETWEEN 1 AND 4000', name=("ck_people_name")),
        sa.CheckConstraint('length("person") BETWEEN 1 AND 40', name=("ck_people_person")),
        sa.CheckConstraint("\"role\" IN ('read', 'record', 'keep')", name=("ck_people_role")),
        sa.CheckConstraint('length("until") IN (10, 27)', name=("ck_people_until")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_people_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_people")),
        sa.UniqueConstraint("person_fold", name=("uq_people_person_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_people_act_id", "people", ["act_id"], unique=False)
    op.create_table(
        "instruments",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("instrument", sa.String(length=40), nullable=False),
        sa.Column("instrument_fold", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=True),
        sa.Column("step", sa.Float(precision=53), nullable=True),
        sa.Column("unit", sa.String(length=40), nullable=True),
        sa.Column("since", sa.String(length=27), nullable=True),
        sa.Column("since_offset", sa.Integer(), nullable=True),
        sa.Column("until", sa.String(length=27), nullable=True),
        sa.Column("until_offset", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('length("instrument") BETWEEN 1 AND 40', name=("ck_instruments_instrument")),
        sa.CheckConstraint(
            "\"kind\" IN ('scale', 'ruler', 'caliper', 'cone', 'meter', 'other')", name=("ck_instruments_kind")
        ),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_instruments_note")),
        sa.CheckConstraint('length("since") IN (10, 27)', name=("ck_instruments_since")),
        sa.CheckConstraint('"step" > 0 AND "step" <= 1000000000', name=("ck_instruments_step")),
        sa.CheckConstraint('length("unit") BETWEEN 1 AND 40', name=("ck_instruments_unit")),
        sa.CheckConstraint('length("until") IN (10, 27)', name=("ck_instruments_until")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_instruments_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_instruments")),
        sa.UniqueConstraint("instrument_fold", name=("uq_instruments_instrument_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_instruments_act_id", "instruments", ["act_id"], unique=False)
    op.create_table(
        "reminders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("reminder", sa.String(length=40), nullable=False),
        sa.Column("reminder_fold", sa.String(length=120), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("every_h", sa.Float(precision=53), nullable=True),
        sa.Column("until", sa.String(length=27), nullable=True),
        sa.Column("until_offset", sa.Integer(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("slab_id", sa.Integer(), nullable=True),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.Column("batch_id", sa.Integer(), nullable=True),
        sa.CheckConstraint('length("at") = 27', name=("ck_reminders_at")),
        sa.CheckConstraint('"at" <= "until"', name=("ck_reminders_at_until")),
        sa.CheckConstraint('"every_h" > 0 AND "every_h" <= 100000', name=("ck_reminders_every_h")),
        sa.CheckConstraint('length("reminder") BETWEEN 1 AND 40', name=("ck_reminders_reminder")),
        sa.CheckConstraint('length("text") BETWEEN 1 AND 4000', name=("ck_reminders_text")),
        sa.CheckConstraint('length("until") = 27', name=("ck_reminders_until")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_reminders_act_id")),
        sa.ForeignKeyConstraint(["batch_id"], ["batches.id"], name=("fk_reminders_batch_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(["piece_id"], ["pieces.id"], name=("fk_reminders_piece_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=("fk_reminders_run_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(["slab_id"], ["slabs.id"], name=("fk_reminders_slab_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_reminders")),
        sa.UniqueConstraint("reminder_fold", name=("uq_reminders_reminder_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_reminders_act_id", "reminders", ["act_id"], unique=False)
    op.create_index("ix_reminders_batch_id", "reminders", ["batch_id"], unique=False)
    op.create_index("ix_reminders_piece_id", "reminders", ["piece_id"], unique=False)
    op.create_index("ix_reminders_run_id", "reminders", ["run_id"], unique=False)
    op.create_index("ix_reminders_slab_id", "reminders", ["slab_id"], unique=False)
    op.create_table(
        "firing_cones",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("firing_id", sa.Integer(), nullable=False),
        sa.Column("cone", sa.String(length=40), nullable=False),
        sa.Column("place", sa.String(length=40), nullable=True),
        sa.Column("bent", sa.String(length=20), nullable=True),
        sa.Column("bent_deg", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint("\"bent\" IN ('standing', 'bending', 'down', 'melted')", name=("ck_firing_cones_bent")),
        sa.CheckConstraint('"bent_deg" >= 0 AND "bent_deg" <= 180', name=("ck_firing_cones_bent_deg")),
        sa.CheckConstraint('length("cone") BETWEEN 1 AND 40', name=("ck_firing_cones_cone")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_firing_cones_note")),
        sa.CheckConstraint('length("place") BETWEEN 1 AND 40', name=("ck_firing_cones_place")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_firing_cones_act_id")),
        sa.ForeignKeyConstraint(["firing_id"], ["firings.id"], name=("fk_firing_cones_firing_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_firing_cones")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_firing_cones_act_id", "firing_cones", ["act_id"], unique=False)
    op.create_index(
        "uq_firing_cones_key", "firing_cones", ["firing_id", "cone", sa.text("coalesce(\"place\", '')")], unique=True
    )


def _change_firings() -> None:
    """When a firing ended, its load and programme; where a piece stood and how long it was soaked."""
    with op.batch_alter_table("firings", table_kwargs=AUTO) as firings:
        firings.add_column(sa.Column("ended_at", sa.String(length=27), nullable=True))
        firings.add_column(sa.Column("ended_at_offset", sa.Integer(), nullable=True))
        firings.add_column(sa.Column("load_kg", sa.Float(precision=53), nullable=True))
        firings.add_column(sa.Column("programme", sa.Text(), nullable=True))
        firings.create_check_constraint("ck_firings_ended_at", 'length("ended_at") IN (10, 27)')
        firings.create_check_constraint("ck_firings_load_kg", '"load_kg" >= 0 AND "load_kg" <= 1000000000')
        firings.create_check_constraint("ck_firings_programme", 'length("programme") BETWEEN 1 AND 4000')
    with op.batch_alter_table("fired", table_kwargs=AUTO) as fired:
        fired.add_column(sa.Column("place", sa.String(length=40), nullable=True))
        fired.add_column(sa.Column("soak_hours", sa.Float(precision=53), nullable=True))
        fired.create_check_constraint("ck_fired_place", 'length("place") BETWEEN 1 AND 40')
        fired.create_check_constraint("ck_fired_soak_hours", '"soak_hours" >= 0 AND "soak_hours" <= 1000000000')


def _change_readings() -> None:
    """Further subjects, and how a reading was taken; `what` may be any name that is declared."""
    op.drop_index("uq_readings_key", table_name="readings")
    with op.batch_alter_table("readings", table_kwargs=AUTO) as readings:
        readings.drop_constraint("ck_readings_what", type_="check")
        readings.alter_column(
            "what", type_=sa.String(length=40), existing_type=sa.String(length=20), existing_nullable=False
        )
        readings.create_check_constraint("ck_readings_what", 'length("what") BETWEEN 1 AND 40')
        readings.add_column(sa.Column("run_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("body_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("slab_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("lot_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("material_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("together", sa.String(length=40), nullable=True))
        readings.add_column(sa.Column("instrument_id", sa.Integer(), nullable=True))
        readings.add_column(sa.Column("step", sa.Float(precision=53), nullable=True))
        readings.add_column(sa.Column("method", sa.Text(), nullable=True))
        readings.add_column(sa.Column("temp_c", sa.Float(precision=53), nullable=True))
        readings.add_column(sa.Column("sign", sa.String(length=20), nullable=True))
        readings.add_column(sa.Column("value_high", sa.Float(precision=53), nullable=True))
        readings.add_column(sa.Column("word", sa.String(length=40), nullable=True))
        readings.drop_constraint("ck_readings_one_of", type_="check")
        readings.create_check_constraint("ck_readings_one_of", SUBJECT)
        readings.create_check_constraint("ck_readings_value_value_high", '"value" <= "value_high"')
        readings.create_check_constraint(
            "ck_readings_value_high_needs_value", '"value_high" IS NULL OR "value" IS NOT NULL'
        )
        readings.create_check_constraint("ck_readings_method", 'length("method") BETWEEN 1 AND 4000')
        readings.create_check_constraint("ck_readings_sign", "\"sign\" IN ('<', '>', '~')")
        readings.create_check_constraint("ck_readings_step", '"step" > 0 AND "step" <= 1000000000')
        readings.create_check_constraint("ck_readings_temp_c", '"temp_c" >= -50 AND "temp_c" <= 2000')
        readings.create_check_constraint("ck_readings_together", 'length("together") BETWEEN 1 AND 40')
        readings.create_check_constraint(
            "ck_readings_value_high", '"value_high" >= -1000000000 AND "value_high" <= 1000000000'
        )
        readings.create_check_constraint("ck_readings_word", 'length("word") BETWEEN 1 AND 40')
        readings.create_foreign_key("fk_readings_body_id", "bodies", ["body_id"], ["id"], ondelete="RESTRICT")
        readings.create_foreign_key(
            "fk_readings_instrument_id", "instruments", ["instrument_id"], ["id"], ondelete="RESTRICT"
        )
        readings.create_foreign_key("fk_readings_lot_id", "lots", ["lot_id"], ["id"], ondelete="RESTRICT")
        readings.create_foreign_key(
            "fk_readings_material_id", "materials", ["material_id"], ["id"], ondelete="RESTRICT"
        )
        readings.create_foreign_key("fk_readings_run_id", "runs", ["run_id"], ["id"], ondelete="RESTRICT")
        readings.create_foreign_key("fk_readings_slab_id", "slabs", ["slab_id"], ["id"], ondelete="RESTRICT")
    op.create_index("ix_readings_body_id", "readings", ["body_id"])
    op.create_index("ix_readings_instrument_id", "readings", ["instrument_id"])
    op.create_index("ix_readings_lot_id", "readings", ["lot_id"])
    op.create_index("ix_readings_material_id", "readings", ["material_id"])
    op.create_index("ix_readings_run_id", "readings", ["run_id"])
    op.create_index("ix_readings_slab_id", "readings", ["slab_id"])
    parts = [sa.text(part) for part in READING_KEY]
    op.create_index("uq_readings_key", "readings", parts, unique=True)


def _change_photos() -> None:
    """Further subjects of a picture, and what its file holds."""
    with op.batch_alter_table("photos", table_kwargs=AUTO) as photos:
        photos.add_column(sa.Column("sha256", sa.String(length=64), nullable=True))
        photos.add_column(sa.Column("firing_id", sa.Integer(), nullable=True))
        photos.add_column(sa.Column("run_id", sa.Integer(), nullable=True))
        photos.add_column(sa.Column("batch_id", sa.Integer(), nullable=True))
        photos.create_check_constraint("ck_photos_sha256", 'length("sha256") BETWEEN 1 AND 64')
        photos.create_foreign_key("fk_photos_batch_id", "batches", ["batch_id"], ["id"], ondelete="RESTRICT")
        photos.create_foreign_key("fk_photos_firing_id", "firings", ["firing_id"], ["id"], ondelete="RESTRICT")
        photos.create_foreign_key("fk_photos_run_id", "runs", ["run_id"], ["id"], ondelete="RESTRICT")
    op.create_index("ix_photos_batch_id", "photos", ["batch_id"])
    op.create_index("ix_photos_firing_id", "photos", ["firing_id"])
    op.create_index("ix_photos_run_id", "photos", ["run_id"])


def _change_logs() -> None:
    """Words of events that may be added to; how a slab stands."""
    with op.batch_alter_table("slab_log", table_kwargs=AUTO) as slab_log:
        slab_log.drop_constraint("ck_slab_log_event", type_="check")
        slab_log.alter_column(
            "event", type_=sa.String(length=40), existing_type=sa.String(length=20), existing_nullable=False
        )
        slab_log.create_check_constraint("ck_slab_log_event", 'length("event") BETWEEN 1 AND 40')
        slab_log.add_column(sa.Column("standing", sa.String(length=20), nullable=True))
        slab_log.create_check_constraint("ck_slab_log_standing", "\"standing\" IN ('flat', 'edge', 'slats')")
    with op.batch_alter_table("batch_log", table_kwargs=AUTO) as batch_log:
        batch_log.drop_constraint("ck_batch_log_event", type_="check")
        batch_log.alter_column(
            "event", type_=sa.String(length=40), existing_type=sa.String(length=20), existing_nullable=False
        )
        batch_log.create_check_constraint("ck_batch_log_event", 'length("event") BETWEEN 1 AND 40')
