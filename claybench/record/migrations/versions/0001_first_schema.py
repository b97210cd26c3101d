"""The first schema: every table of the record as it was on the first day.

Written out in full and never edited: later changes are later migrations.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

KEYS = {
    "air": ("at", "coalesce(\"place\", '')"),
    "faults": (
        'coalesce("piece_id", 0)',
        'coalesce("run_id", 0)',
        'coalesce("firing_id", 0)',
        "seen_on",
        "fault",
    ),
    "readings": (
        'coalesce("piece_id", 0)',
        'coalesce("batch_id", 0)',
        'coalesce("firing_id", 0)',
        "at",
        "what",
    ),
}
"""Keys with parts that may be empty, which count as equal."""


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "acts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("bench", sa.Text(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["undoes"], ["acts.id"], name=("fk_acts_undoes")),
        sa.PrimaryKeyConstraint("id", name=("pk_acts")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_acts_undoes", "acts", ["undoes"], unique=False)
    op.create_table(
        "air",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(length=20), nullable=True),
        sa.Column("air_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("air_rh_pct", sa.Float(precision=53), nullable=True),
        sa.Column("air_speed_m_s", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"air_rh_pct" >= 0 AND "air_rh_pct" <= 100', name=("ck_air_air_rh_pct")),
        sa.CheckConstraint('"air_speed_m_s" >= 0 AND "air_speed_m_s" <= 50', name=("ck_air_air_speed_m_s")),
        sa.CheckConstraint('"air_temp_c" >= -50 AND "air_temp_c" <= 100', name=("ck_air_air_temp_c")),
        sa.CheckConstraint(
            "\"place\" IN ('shelf', 'fan', 'sun', 'outdoors', 'drying_room', 'other')", name=("ck_air_place")
        ),
        sa.CheckConstraint('length("at") = 27', name=("ck_air_at")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_air_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_air_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_air")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_air_act_id", "air", ["act_id"], unique=False)
    op.create_table(
        "families",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("family", sa.String(length=40), nullable=False),
        sa.Column("family_fold", sa.String(length=120), nullable=False),
        sa.Column("stain_rank", sa.BigInteger(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint(
            '"stain_rank" >= 0 AND "stain_rank" <= 1000000000', name=("ck_families_stain_rank")
        ),
        sa.CheckConstraint('length("family") BETWEEN 1 AND 40', name=("ck_families_family")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_families_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_families_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_families")),
        sa.UniqueConstraint("family_fold", name=("uq_families_family_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_families_act_id", "families", ["act_id"], unique=False)
    op.create_table(
        "firings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("firing", sa.String(length=40), nullable=False),
        sa.Column("firing_fold", sa.String(length=120), nullable=False),
        sa.Column("fired_on", sa.String(length=27), nullable=True),
        sa.Column("fired_on_offset", sa.Integer(), nullable=True),
        sa.Column("kiln", sa.Text(), nullable=True),
        sa.Column("cone", sa.Text(), nullable=True),
        sa.Column("peak_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("hold_min", sa.Float(precision=53), nullable=True),
        sa.Column("atmosphere", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"hold_min" >= 0 AND "hold_min" <= 1000000000', name=("ck_firings_hold_min")),
        sa.CheckConstraint('"peak_temp_c" >= -50 AND "peak_temp_c" <= 2000', name=("ck_firings_peak_temp_c")),
        sa.CheckConstraint('length("atmosphere") BETWEEN 1 AND 4000', name=("ck_firings_atmosphere")),
        sa.CheckConstraint('length("cone") BETWEEN 1 AND 4000', name=("ck_firings_cone")),
        sa.CheckConstraint('length("fired_on") IN (10, 27)', name=("ck_firings_fired_on")),
        sa.CheckConstraint('length("firing") BETWEEN 1 AND 40', name=("ck_firings_firing")),
        sa.CheckConstraint('length("kiln") BETWEEN 1 AND 4000', name=("ck_firings_kiln")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_firings_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_firings_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_firings")),
        sa.UniqueConstraint("firing_fold", name=("uq_firings_firing_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_firings_act_id", "firings", ["act_id"], unique=False)
    op.create_table(
        "history",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(length=20), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.CheckConstraint("kind IN ('change', 'delete', 'restore')", name=("ck_history_kind")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_history_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_history")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_history_act_id", "history", ["act_id"], unique=False)
    op.create_index("ix_history_row", "history", ["table_name", "row_id"], unique=False)
    op.create_table(
        "materials",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=40), nullable=False),
        sa.Column("material_fold", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=True),
        sa.Column("specific_gravity", sa.Float(precision=53), nullable=True),
        sa.Column("loi_pct", sa.Float(precision=53), nullable=True),
        sa.Column("price_per_kg", sa.Float(precision=53), nullable=True),
        sa.Column("caution", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "\"kind\" IN ('clay', 'flux', 'filler', 'plasticiser', 'colourant', 'deflocculant', 'flocculant', 'other')",
            name=("ck_materials_kind"),
        ),
        sa.CheckConstraint('"loi_pct" >= 0 AND "loi_pct" <= 100', name=("ck_materials_loi_pct")),
        sa.CheckConstraint(
            '"price_per_kg" >= 0 AND "price_per_kg" <= 1000000000', name=("ck_materials_price_per_kg")
        ),
        sa.CheckConstraint(
            '"specific_gravity" > 0.5 AND "specific_gravity" <= 25', name=("ck_materials_specific_gravity")
        ),
        sa.CheckConstraint('length("caution") BETWEEN 1 AND 4000', name=("ck_materials_caution")),
        sa.CheckConstraint('length("material") BETWEEN 1 AND 40', name=("ck_materials_material")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_materials_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_materials_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_materials")),
        sa.UniqueConstraint("material_fold", name=("uq_materials_material_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_materials_act_id", "materials", ["act_id"], unique=False)
    op.create_table(
        "retired_codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(length=20), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("fold", sa.String(length=120), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_retired_codes_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_retired_codes")),
        sa.UniqueConstraint("table_name", "fold", name="uq_retired_codes_fold"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "settings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.CheckConstraint('length("name") BETWEEN 1 AND 4000', name=("ck_settings_name")),
        sa.CheckConstraint('length("value") BETWEEN 1 AND 4000', name=("ck_settings_value")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_settings_act_id")),
        sa.PrimaryKeyConstraint("id", name=("pk_settings")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_settings_act_id", "settings", ["act_id"], unique=False)
    op.create_index("uq_settings_key", "settings", ["name"], unique=True)
    op.create_table(
        "bodies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("body", sa.String(length=40), nullable=False),
        sa.Column("body_fold", sa.String(length=120), nullable=False),
        sa.Column("title", sa.Text(), nullable=True),
        sa.Column("family_id", sa.Integer(), nullable=True),
        sa.Column("parent_id", sa.Integer(), nullable=True),
        sa.Column("test_set", sa.Text(), nullable=True),
        sa.Column("control", sa.Boolean(), nullable=True),
        sa.Column("stain_rank", sa.BigInteger(), nullable=True),
        sa.Column("slip_sg", sa.Float(precision=53), nullable=True),
        sa.Column("workable_water_pct", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"slip_sg" > 0.9 AND "slip_sg" <= 3', name=("ck_bodies_slip_sg")),
        sa.CheckConstraint('"stain_rank" >= 0 AND "stain_rank" <= 1000000000', name=("ck_bodies_stain_rank")),
        sa.CheckConstraint(
            '"workable_water_pct" >= 0 AND "workable_water_pct" <= 200', name=("ck_bodies_workable_water_pct")
        ),
        sa.CheckConstraint('length("body") BETWEEN 1 AND 40', name=("ck_bodies_body")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_bodies_note")),
        sa.CheckConstraint('length("test_set") BETWEEN 1 AND 4000', name=("ck_bodies_test_set")),
        sa.CheckConstraint('length("title") BETWEEN 1 AND 4000', name=("ck_bodies_title")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_bodies_act_id")),
        sa.ForeignKeyConstraint(
            ["family_id"], ["families.id"], name=("fk_bodies_family_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["parent_id"], ["bodies.id"], name=("fk_bodies_parent_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_bodies")),
        sa.UniqueConstraint("body_fold", name=("uq_bodies_body_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_bodies_act_id", "bodies", ["act_id"], unique=False)
    op.create_index("ix_bodies_family_id", "bodies", ["family_id"], unique=False)
    op.create_index("ix_bodies_parent_id", "bodies", ["parent_id"], unique=False)
    op.create_table(
        "lots",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("lot", sa.String(length=40), nullable=False),
        sa.Column("lot_fold", sa.String(length=120), nullable=False),
        sa.Column("material_id", sa.Integer(), nullable=False),
        sa.Column("received_on", sa.String(length=27), nullable=True),
        sa.Column("received_on_offset", sa.Integer(), nullable=True),
        sa.Column("received_kg", sa.Float(precision=53), nullable=True),
        sa.Column("moisture_pct", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"moisture_pct" >= 0 AND "moisture_pct" <= 100', name=("ck_lots_moisture_pct")),
        sa.CheckConstraint(
            '"received_kg" >= 0 AND "received_kg" <= 1000000000', name=("ck_lots_received_kg")
        ),
        sa.CheckConstraint('length("lot") BETWEEN 1 AND 40', name=("ck_lots_lot")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_lots_note")),
        sa.CheckConstraint('length("received_on") IN (10, 27)', name=("ck_lots_received_on")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_lots_act_id")),
        sa.ForeignKeyConstraint(
            ["material_id"], ["materials.id"], name=("fk_lots_material_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_lots")),
        sa.UniqueConstraint("lot_fold", name=("uq_lots_lot_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_lots_act_id", "lots", ["act_id"], unique=False)
    op.create_index("ix_lots_material_id", "lots", ["material_id"], unique=False)
    op.create_table(
        "slabs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("slab", sa.String(length=40), nullable=False),
        sa.Column("slab_fold", sa.String(length=120), nullable=False),
        sa.Column("family_id", sa.Integer(), nullable=True),
        sa.Column("shape", sa.String(length=20), nullable=True),
        sa.Column("length_mm", sa.Float(precision=53), nullable=False),
        sa.Column("width_mm", sa.Float(precision=53), nullable=True),
        sa.Column("thickness_mm", sa.Float(precision=53), nullable=False),
        sa.Column("usable_area_cm2", sa.Float(precision=53), nullable=True),
        sa.Column("plaster", sa.Text(), nullable=True),
        sa.Column("pour", sa.Text(), nullable=True),
        sa.Column("mix_ratio", sa.Float(precision=53), nullable=True),
        sa.Column("plaster_g", sa.Float(precision=53), nullable=True),
        sa.Column("water_g", sa.Float(precision=53), nullable=True),
        sa.Column("cast_at", sa.String(length=27), nullable=True),
        sa.Column("cast_at_offset", sa.Integer(), nullable=True),
        sa.Column("in_service_on", sa.String(length=27), nullable=True),
        sa.Column("in_service_on_offset", sa.Integer(), nullable=True),
        sa.Column("retired_on", sa.String(length=27), nullable=True),
        sa.Column("retired_on_offset", sa.Integer(), nullable=True),
        sa.Column("dry_mass_g", sa.Float(precision=53), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"dry_mass_g" > 0 AND "dry_mass_g" <= 1000000000', name=("ck_slabs_dry_mass_g")),
        sa.CheckConstraint('"length_mm" > 0 AND "length_mm" <= 10000', name=("ck_slabs_length_mm")),
        sa.CheckConstraint('"mix_ratio" >= 20 AND "mix_ratio" <= 200', name=("ck_slabs_mix_ratio")),
        sa.CheckConstraint('"plaster_g" > 0 AND "plaster_g" <= 1000000000', name=("ck_slabs_plaster_g")),
        sa.CheckConstraint("\"shape\" IN ('rectangle', 'round')", name=("ck_slabs_shape")),
        sa.CheckConstraint('"thickness_mm" > 0 AND "thickness_mm" <= 1000', name=("ck_slabs_thickness_mm")),
        sa.CheckConstraint(
            '"usable_area_cm2" > 0 AND "usable_area_cm2" <= 1000000000', name=("ck_slabs_usable_area_cm2")
        ),
        sa.CheckConstraint('"water_g" > 0 AND "water_g" <= 1000000000', name=("ck_slabs_water_g")),
        sa.CheckConstraint('"width_mm" > 0 AND "width_mm" <= 10000', name=("ck_slabs_width_mm")),
        sa.CheckConstraint('length("cast_at") IN (10, 27)', name=("ck_slabs_cast_at")),
        sa.CheckConstraint('length("in_service_on") IN (10, 27)', name=("ck_slabs_in_service_on")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_slabs_note")),
        sa.CheckConstraint('length("plaster") BETWEEN 1 AND 4000', name=("ck_slabs_plaster")),
        sa.CheckConstraint('length("pour") BETWEEN 1 AND 4000', name=("ck_slabs_pour")),
        sa.CheckConstraint('length("retired_on") IN (10, 27)', name=("ck_slabs_retired_on")),
        sa.CheckConstraint('length("slab") BETWEEN 1 AND 40', name=("ck_slabs_slab")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_slabs_act_id")),
        sa.ForeignKeyConstraint(
            ["family_id"], ["families.id"], name=("fk_slabs_family_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_slabs")),
        sa.UniqueConstraint("slab_fold", name=("uq_slabs_slab_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_slabs_act_id", "slabs", ["act_id"], unique=False)
    op.create_index("ix_slabs_family_id", "slabs", ["family_id"], unique=False)
    op.create_table(
        "batches",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("batch", sa.String(length=40), nullable=False),
        sa.Column("batch_fold", sa.String(length=120), nullable=False),
        sa.Column("body_id", sa.Integer(), nullable=False),
        sa.Column("made", sa.String(length=20), nullable=True),
        sa.Column("mixed_at", sa.String(length=27), nullable=False),
        sa.Column("mixed_at_offset", sa.Integer(), nullable=False),
        sa.Column("dry_mass_g", sa.Float(precision=53), nullable=True),
        sa.Column("water_g", sa.Float(precision=53), nullable=True),
        sa.Column("slip_sg", sa.Float(precision=53), nullable=True),
        sa.Column("slip_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("deflocculant_g", sa.Float(precision=53), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint(
            '"deflocculant_g" >= 0 AND "deflocculant_g" <= 1000000000', name=("ck_batches_deflocculant_g")
        ),
        sa.CheckConstraint('"dry_mass_g" > 0 AND "dry_mass_g" <= 1000000000', name=("ck_batches_dry_mass_g")),
        sa.CheckConstraint("\"made\" IN ('slip', 'plastic', 'pressed')", name=("ck_batches_made")),
        sa.CheckConstraint('"slip_sg" > 0.9 AND "slip_sg" <= 3', name=("ck_batches_slip_sg")),
        sa.CheckConstraint('"slip_temp_c" >= -5 AND "slip_temp_c" <= 100', name=("ck_batches_slip_temp_c")),
        sa.CheckConstraint('"water_g" >= 0 AND "water_g" <= 1000000000', name=("ck_batches_water_g")),
        sa.CheckConstraint('length("batch") BETWEEN 1 AND 40', name=("ck_batches_batch")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_batches_by")),
        sa.CheckConstraint('length("mixed_at") = 27', name=("ck_batches_mixed_at")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_batches_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_batches_act_id")),
        sa.ForeignKeyConstraint(["body_id"], ["bodies.id"], name=("fk_batches_body_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_batches")),
        sa.UniqueConstraint("batch_fold", name=("uq_batches_batch_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_batches_act_id", "batches", ["act_id"], unique=False)
    op.create_index("ix_batches_body_id", "batches", ["body_id"], unique=False)
    op.create_table(
        "body_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("body_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("material_id", sa.Integer(), nullable=False),
        sa.Column("parts", sa.Float(precision=53), nullable=False),
        sa.CheckConstraint('"parts" >= 0 AND "parts" <= 1000000000', name=("ck_body_lines_parts")),
        sa.CheckConstraint('"position" >= 0 AND "position" <= 1000000000', name=("ck_body_lines_position")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_body_lines_act_id")),
        sa.ForeignKeyConstraint(
            ["body_id"], ["bodies.id"], name=("fk_body_lines_body_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["material_id"], ["materials.id"], name=("fk_body_lines_material_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_body_lines")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_body_lines_act_id", "body_lines", ["act_id"], unique=False)
    op.create_index("ix_body_lines_material_id", "body_lines", ["material_id"], unique=False)
    op.create_index("uq_body_lines_key", "body_lines", ["body_id", "position"], unique=True)
    op.create_table(
        "slab_log",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("slab_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("event", sa.String(length=20), nullable=False),
        sa.Column("face", sa.String(length=20), nullable=True),
        sa.Column("until", sa.String(length=27), nullable=True),
        sa.Column("until_offset", sa.Integer(), nullable=True),
        sa.Column("mass_g", sa.Float(precision=53), nullable=True),
        sa.Column("water_g", sa.Float(precision=53), nullable=True),
        sa.Column("family_id", sa.Integer(), nullable=True),
        sa.Column("place", sa.String(length=20), nullable=True),
        sa.Column("air_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("air_rh_pct", sa.Float(precision=53), nullable=True),
        sa.Column("air_speed_m_s", sa.Float(precision=53), nullable=True),
        sa.Column("ring_area_cm2", sa.Float(precision=53), nullable=True),
        sa.Column("ring_water_ml", sa.Float(precision=53), nullable=True),
        sa.Column("ring_seconds", sa.Float(precision=53), nullable=True),
        sa.Column("count", sa.BigInteger(), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"air_rh_pct" >= 0 AND "air_rh_pct" <= 100', name=("ck_slab_log_air_rh_pct")),
        sa.CheckConstraint(
            '"air_speed_m_s" >= 0 AND "air_speed_m_s" <= 50', name=("ck_slab_log_air_speed_m_s")
        ),
        sa.CheckConstraint('"air_temp_c" >= -50 AND "air_temp_c" <= 100', name=("ck_slab_log_air_temp_c")),
        sa.CheckConstraint('"count" >= 0 AND "count" <= 1000000000', name=("ck_slab_log_count")),
        sa.CheckConstraint(
            "\"event\" IN ('mixed', 'set', 'demoulded', 'weighed', 'weighed_dry', 'turned', 'moved', 'wetted', 'other_clay', 'ring_test', 'cleaned', 'resurfaced', 'chipped', 'broken', 'stained', 'salts', 'note')",
            name=("ck_slab_log_event"),
        ),
        sa.CheckConstraint("\"face\" IN ('form', 'open')", name=("ck_slab_log_face")),
        sa.CheckConstraint('"mass_g" > 0 AND "mass_g" <= 1000000000', name=("ck_slab_log_mass_g")),
        sa.CheckConstraint(
            "\"place\" IN ('shelf', 'fan', 'sun', 'outdoors', 'drying_room', 'other')",
            name=("ck_slab_log_place"),
        ),
        sa.CheckConstraint(
            '"ring_area_cm2" > 0 AND "ring_area_cm2" <= 1000000000', name=("ck_slab_log_ring_area_cm2")
        ),
        sa.CheckConstraint(
            '"ring_seconds" > 0 AND "ring_seconds" <= 1000000000', name=("ck_slab_log_ring_seconds")
        ),
        sa.CheckConstraint(
            '"ring_water_ml" > 0 AND "ring_water_ml" <= 1000000000', name=("ck_slab_log_ring_water_ml")
        ),
        sa.CheckConstraint('"water_g" >= 0 AND "water_g" <= 1000000000', name=("ck_slab_log_water_g")),
        sa.CheckConstraint('length("at") = 27', name=("ck_slab_log_at")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_slab_log_by")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_slab_log_note")),
        sa.CheckConstraint('length("until") = 27', name=("ck_slab_log_until")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_slab_log_act_id")),
        sa.ForeignKeyConstraint(
            ["family_id"], ["families.id"], name=("fk_slab_log_family_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["slab_id"], ["slabs.id"], name=("fk_slab_log_slab_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_slab_log")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_slab_log_act_id", "slab_log", ["act_id"], unique=False)
    op.create_index("ix_slab_log_family_id", "slab_log", ["family_id"], unique=False)
    op.create_index("uq_slab_log_key", "slab_log", ["slab_id", "at", "event"], unique=True)
    op.create_table(
        "batch_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("material_id", sa.Integer(), nullable=False),
        sa.Column("lot_id", sa.Integer(), nullable=True),
        sa.Column("mass_g", sa.Float(precision=53), nullable=False),
        sa.CheckConstraint('"mass_g" >= 0 AND "mass_g" <= 1000000000', name=("ck_batch_lines_mass_g")),
        sa.CheckConstraint('"position" >= 0 AND "position" <= 1000000000', name=("ck_batch_lines_position")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_batch_lines_act_id")),
        sa.ForeignKeyConstraint(
            ["batch_id"], ["batches.id"], name=("fk_batch_lines_batch_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["lot_id"], ["lots.id"], name=("fk_batch_lines_lot_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(
            ["material_id"], ["materials.id"], name=("fk_batch_lines_material_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_batch_lines")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_batch_lines_act_id", "batch_lines", ["act_id"], unique=False)
    op.create_index("ix_batch_lines_lot_id", "batch_lines", ["lot_id"], unique=False)
    op.create_index("ix_batch_lines_material_id", "batch_lines", ["material_id"], unique=False)
    op.create_index("uq_batch_lines_key", "batch_lines", ["batch_id", "position"], unique=True)
    op.create_table(
        "batch_log",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("event", sa.String(length=20), nullable=False),
        sa.Column("material_id", sa.Integer(), nullable=True),
        sa.Column("lot_id", sa.Integer(), nullable=True),
        sa.Column("mass_g", sa.Float(precision=53), nullable=True),
        sa.Column("slip_sg", sa.Float(precision=53), nullable=True),
        sa.Column("slip_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("mesh", sa.BigInteger(), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "\"event\" IN ('sampled', 'water_added', 'water_off', 'dry_added', 'addition', 'screened', 'reblunged', 'note')",
            name=("ck_batch_log_event"),
        ),
        sa.CheckConstraint('"mass_g" >= 0 AND "mass_g" <= 1000000000', name=("ck_batch_log_mass_g")),
        sa.CheckConstraint('"mesh" >= 0 AND "mesh" <= 1000000000', name=("ck_batch_log_mesh")),
        sa.CheckConstraint('"slip_sg" > 0.9 AND "slip_sg" <= 3', name=("ck_batch_log_slip_sg")),
        sa.CheckConstraint('"slip_temp_c" >= -5 AND "slip_temp_c" <= 100', name=("ck_batch_log_slip_temp_c")),
        sa.CheckConstraint('length("at") = 27', name=("ck_batch_log_at")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_batch_log_by")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_batch_log_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_batch_log_act_id")),
        sa.ForeignKeyConstraint(
            ["batch_id"], ["batches.id"], name=("fk_batch_log_batch_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["lot_id"], ["lots.id"], name=("fk_batch_log_lot_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(
            ["material_id"], ["materials.id"], name=("fk_batch_log_material_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_batch_log")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_batch_log_act_id", "batch_log", ["act_id"], unique=False)
    op.create_index("ix_batch_log_lot_id", "batch_log", ["lot_id"], unique=False)
    op.create_index("ix_batch_log_material_id", "batch_log", ["material_id"], unique=False)
    op.create_index("uq_batch_log_key", "batch_log", ["batch_id", "at", "event"], unique=True)
    op.create_table(
        "runs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("run", sa.String(length=40), nullable=False),
        sa.Column("run_fold", sa.String(length=120), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("slab_id", sa.Integer(), nullable=False),
        sa.Column("face", sa.String(length=20), nullable=True),
        sa.Column("started_at", sa.String(length=27), nullable=False),
        sa.Column("started_at_offset", sa.Integer(), nullable=False),
        sa.Column("poured_g", sa.Float(precision=53), nullable=True),
        sa.Column("area_cm2", sa.Float(precision=53), nullable=True),
        sa.Column("layer_mm", sa.Float(precision=53), nullable=True),
        sa.Column("slip_sg", sa.Float(precision=53), nullable=True),
        sa.Column("slip_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("slab_before_g", sa.Float(precision=53), nullable=True),
        sa.Column("slab_after_g", sa.Float(precision=53), nullable=True),
        sa.Column("air_temp_c", sa.Float(precision=53), nullable=True),
        sa.Column("air_rh_pct", sa.Float(precision=53), nullable=True),
        sa.Column("air_speed_m_s", sa.Float(precision=53), nullable=True),
        sa.Column("ended_at", sa.String(length=27), nullable=True),
        sa.Column("ended_at_offset", sa.Integer(), nullable=True),
        sa.Column("clay_off_g", sa.Float(precision=53), nullable=True),
        sa.Column("outcome", sa.String(length=20), nullable=True),
        sa.Column("wedged_on", sa.Text(), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"air_rh_pct" >= 0 AND "air_rh_pct" <= 100', name=("ck_runs_air_rh_pct")),
        sa.CheckConstraint('"air_speed_m_s" >= 0 AND "air_speed_m_s" <= 50', name=("ck_runs_air_speed_m_s")),
        sa.CheckConstraint('"air_temp_c" >= -50 AND "air_temp_c" <= 100', name=("ck_runs_air_temp_c")),
        sa.CheckConstraint('"area_cm2" > 0 AND "area_cm2" <= 1000000000', name=("ck_runs_area_cm2")),
        sa.CheckConstraint('"clay_off_g" >= 0 AND "clay_off_g" <= 1000000000', name=("ck_runs_clay_off_g")),
        sa.CheckConstraint("\"face\" IN ('form', 'open')", name=("ck_runs_face")),
        sa.CheckConstraint('"layer_mm" > 0 AND "layer_mm" <= 500', name=("ck_runs_layer_mm")),
        sa.CheckConstraint(
            "\"outcome\" IN ('workable', 'lifted_early', 'too_stiff', 'abandoned')", name=("ck_runs_outcome")
        ),
        sa.CheckConstraint('"poured_g" > 0 AND "poured_g" <= 1000000000', name=("ck_runs_poured_g")),
        sa.CheckConstraint(
            '"slab_after_g" > 0 AND "slab_after_g" <= 1000000000', name=("ck_runs_slab_after_g")
        ),
        sa.CheckConstraint(
            '"slab_before_g" > 0 AND "slab_before_g" <= 1000000000', name=("ck_runs_slab_before_g")
        ),
        sa.CheckConstraint('"slip_sg" > 0.9 AND "slip_sg" <= 3', name=("ck_runs_slip_sg")),
        sa.CheckConstraint('"slip_temp_c" >= -5 AND "slip_temp_c" <= 100', name=("ck_runs_slip_temp_c")),
        sa.CheckConstraint('"started_at" <= "ended_at"', name=("ck_runs_started_at_ended_at")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_runs_by")),
        sa.CheckConstraint('length("ended_at") = 27', name=("ck_runs_ended_at")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_runs_note")),
        sa.CheckConstraint('length("run") BETWEEN 1 AND 40', name=("ck_runs_run")),
        sa.CheckConstraint('length("started_at") = 27', name=("ck_runs_started_at")),
        sa.CheckConstraint('length("wedged_on") BETWEEN 1 AND 4000', name=("ck_runs_wedged_on")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_runs_act_id")),
        sa.ForeignKeyConstraint(["batch_id"], ["batches.id"], name=("fk_runs_batch_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(["slab_id"], ["slabs.id"], name=("fk_runs_slab_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_runs")),
        sa.UniqueConstraint("run_fold", name=("uq_runs_run_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_runs_act_id", "runs", ["act_id"], unique=False)
    op.create_index("ix_runs_batch_id", "runs", ["batch_id"], unique=False)
    op.create_index("ix_runs_slab_id", "runs", ["slab_id"], unique=False)
    op.create_table(
        "checks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("feel", sa.String(length=20), nullable=False),
        sa.Column("action", sa.String(length=20), nullable=True),
        sa.Column("penetration_mm", sa.Float(precision=53), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint("\"action\" IN ('turned_over', 'cut', 'spread')", name=("ck_checks_action")),
        sa.CheckConstraint("\"feel\" IN ('fluid', 'sticky', 'workable', 'stiff')", name=("ck_checks_feel")),
        sa.CheckConstraint(
            '"penetration_mm" >= 0 AND "penetration_mm" <= 500', name=("ck_checks_penetration_mm")
        ),
        sa.CheckConstraint('length("at") = 27', name=("ck_checks_at")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_checks_by")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_checks_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_checks_act_id")),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=("fk_checks_run_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_checks")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_checks_act_id", "checks", ["act_id"], unique=False)
    op.create_index("uq_checks_key", "checks", ["run_id", "at"], unique=True)
    op.create_table(
        "pieces",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("piece", sa.String(length=40), nullable=False),
        sa.Column("piece_fold", sa.String(length=120), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.Column("shape", sa.String(length=20), nullable=True),
        sa.Column("formed_at", sa.String(length=27), nullable=True),
        sa.Column("formed_at_offset", sa.Integer(), nullable=True),
        sa.Column("formed_how", sa.Text(), nullable=True),
        sa.Column("plastic_mm", sa.Float(precision=53), nullable=True),
        sa.Column("plastic_g", sa.Float(precision=53), nullable=True),
        sa.Column("dry_at", sa.String(length=27), nullable=True),
        sa.Column("dry_at_offset", sa.Integer(), nullable=True),
        sa.Column("dry_how", sa.String(length=20), nullable=True),
        sa.Column("dry_mm", sa.Float(precision=53), nullable=True),
        sa.Column("dry_g", sa.Float(precision=53), nullable=True),
        sa.Column("ended_at", sa.String(length=27), nullable=True),
        sa.Column("ended_at_offset", sa.Integer(), nullable=True),
        sa.Column("ended", sa.String(length=20), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"dry_g" > 0 AND "dry_g" <= 1000000000', name=("ck_pieces_dry_g")),
        sa.CheckConstraint("\"dry_how\" IN ('air', 'oven')", name=("ck_pieces_dry_how")),
        sa.CheckConstraint('"dry_mm" > 0 AND "dry_mm" <= 1000000000', name=("ck_pieces_dry_mm")),
        sa.CheckConstraint("\"ended\" IN ('broken', 'lost', 'scrapped')", name=("ck_pieces_ended")),
        sa.CheckConstraint('"plastic_g" > 0 AND "plastic_g" <= 1000000000', name=("ck_pieces_plastic_g")),
        sa.CheckConstraint('"plastic_mm" > 0 AND "plastic_mm" <= 1000000000', name=("ck_pieces_plastic_mm")),
        sa.CheckConstraint("\"shape\" IN ('bar', 'tile', 'disc', 'other')", name=("ck_pieces_shape")),
        sa.CheckConstraint('length("dry_at") IN (10, 27)', name=("ck_pieces_dry_at")),
        sa.CheckConstraint('length("ended_at") IN (10, 27)', name=("ck_pieces_ended_at")),
        sa.CheckConstraint('length("formed_at") IN (10, 27)', name=("ck_pieces_formed_at")),
        sa.CheckConstraint('length("formed_how") BETWEEN 1 AND 4000', name=("ck_pieces_formed_how")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_pieces_note")),
        sa.CheckConstraint('length("piece") BETWEEN 1 AND 40', name=("ck_pieces_piece")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_pieces_act_id")),
        sa.ForeignKeyConstraint(
            ["batch_id"], ["batches.id"], name=("fk_pieces_batch_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=("fk_pieces_run_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_pieces")),
        sa.UniqueConstraint("piece_fold", name=("uq_pieces_piece_fold")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_pieces_act_id", "pieces", ["act_id"], unique=False)
    op.create_index("ix_pieces_batch_id", "pieces", ["batch_id"], unique=False)
    op.create_index("ix_pieces_run_id", "pieces", ["run_id"], unique=False)
    op.create_table(
        "faults",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.Column("firing_id", sa.Integer(), nullable=True),
        sa.Column("seen_on", sa.String(length=27), nullable=False),
        sa.Column("seen_on_offset", sa.Integer(), nullable=True),
        sa.Column("fault", sa.String(length=20), nullable=False),
        sa.Column("count", sa.BigInteger(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"count" >= 0 AND "count" <= 1000000000', name=("ck_faults_count")),
        sa.CheckConstraint(
            "\"fault\" IN ('none', 'pop_out', 'scum', 'crack', 'warp', 'bloat', 'black_core', 'dunting', 'specks', 'plaster_found', 'colour_off', 'other')",
            name=("ck_faults_fault"),
        ),
        sa.CheckConstraint(
            'CASE WHEN "piece_id" IS NULL THEN 0 ELSE 1 END + CASE WHEN "run_id" IS NULL THEN 0 ELSE 1 END = 1',
            name=("ck_faults_one_of"),
        ),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_faults_note")),
        sa.CheckConstraint('length("seen_on") IN (10, 27)', name=("ck_faults_seen_on")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_faults_act_id")),
        sa.ForeignKeyConstraint(
            ["firing_id"], ["firings.id"], name=("fk_faults_firing_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"], ["pieces.id"], name=("fk_faults_piece_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=("fk_faults_run_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_faults")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_faults_act_id", "faults", ["act_id"], unique=False)
    op.create_index("ix_faults_firing_id", "faults", ["firing_id"], unique=False)
    op.create_index("ix_faults_piece_id", "faults", ["piece_id"], unique=False)
    op.create_index("ix_faults_run_id", "faults", ["run_id"], unique=False)
    op.create_table(
        "fired",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("firing_id", sa.Integer(), nullable=False),
        sa.Column("fired_mm", sa.Float(precision=53), nullable=True),
        sa.Column("fired_g", sa.Float(precision=53), nullable=True),
        sa.Column("soaked_at", sa.String(length=27), nullable=True),
        sa.Column("soaked_at_offset", sa.Integer(), nullable=True),
        sa.Column("soaked_g", sa.Float(precision=53), nullable=True),
        sa.Column("suspended_g", sa.Float(precision=53), nullable=True),
        sa.Column("soak_method", sa.String(length=20), nullable=True),
        sa.Column("warp_pct", sa.Float(precision=53), nullable=True),
        sa.Column("colour", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"fired_g" > 0 AND "fired_g" <= 1000000000', name=("ck_fired_fired_g")),
        sa.CheckConstraint('"fired_mm" > 0 AND "fired_mm" <= 1000000000', name=("ck_fired_fired_mm")),
        sa.CheckConstraint("\"soak_method\" IN ('boil', 'vacuum', 'soak')", name=("ck_fired_soak_method")),
        sa.CheckConstraint('"soaked_g" > 0 AND "soaked_g" <= 1000000000', name=("ck_fired_soaked_g")),
        sa.CheckConstraint(
            '"suspended_g" > 0 AND "suspended_g" <= 1000000000', name=("ck_fired_suspended_g")
        ),
        sa.CheckConstraint('"warp_pct" >= -100 AND "warp_pct" <= 100', name=("ck_fired_warp_pct")),
        sa.CheckConstraint('length("colour") BETWEEN 1 AND 4000', name=("ck_fired_colour")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_fired_note")),
        sa.CheckConstraint('length("soaked_at") IN (10, 27)', name=("ck_fired_soaked_at")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_fired_act_id")),
        sa.ForeignKeyConstraint(
            ["firing_id"], ["firings.id"], name=("fk_fired_firing_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["piece_id"], ["pieces.id"], name=("fk_fired_piece_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_fired")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_fired_act_id", "fired", ["act_id"], unique=False)
    op.create_index("ix_fired_firing_id", "fired", ["firing_id"], unique=False)
    op.create_index("uq_fired_key", "fired", ["piece_id", "firing_id"], unique=True)
    op.create_table(
        "photos",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.Column("body_id", sa.Integer(), nullable=True),
        sa.Column("slab_id", sa.Integer(), nullable=True),
        sa.Column("taken_on", sa.String(length=27), nullable=True),
        sa.Column("taken_on_offset", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('length("file") BETWEEN 1 AND 4000', name=("ck_photos_file")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_photos_note")),
        sa.CheckConstraint('length("taken_on") IN (10, 27)', name=("ck_photos_taken_on")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_photos_act_id")),
        sa.ForeignKeyConstraint(["body_id"], ["bodies.id"], name=("fk_photos_body_id"), ondelete="RESTRICT"),
        sa.ForeignKeyConstraint(
            ["piece_id"], ["pieces.id"], name=("fk_photos_piece_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(["slab_id"], ["slabs.id"], name=("fk_photos_slab_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=("pk_photos")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photos_act_id", "photos", ["act_id"], unique=False)
    op.create_index("ix_photos_body_id", "photos", ["body_id"], unique=False)
    op.create_index("ix_photos_piece_id", "photos", ["piece_id"], unique=False)
    op.create_index("ix_photos_slab_id", "photos", ["slab_id"], unique=False)
    op.create_index("uq_photos_key", "photos", ["file"], unique=True)
    op.create_table(
        "readings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.Column("batch_id", sa.Integer(), nullable=True),
        sa.Column("firing_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("at_offset", sa.Integer(), nullable=False),
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("value", sa.Float(precision=53), nullable=True),
        sa.Column("count", sa.BigInteger(), nullable=True),
        sa.Column("wet_g", sa.Float(precision=53), nullable=True),
        sa.Column("dry_g", sa.Float(precision=53), nullable=True),
        sa.Column("by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint('"count" >= 0 AND "count" <= 1000000000', name=("ck_readings_count")),
        sa.CheckConstraint('"dry_g" > 0 AND "dry_g" <= 1000000000', name=("ck_readings_dry_g")),
        sa.CheckConstraint('"value" >= -1000000000 AND "value" <= 1000000000', name=("ck_readings_value")),
        sa.CheckConstraint('"wet_g" > 0 AND "wet_g" <= 1000000000', name=("ck_readings_wet_g")),
        sa.CheckConstraint(
            "\"what\" IN ('plastic_mm', 'plastic_g', 'dry_mm', 'dry_g', 'fired_mm', 'fired_g', 'soaked_g', 'suspended_g', 'liquid_cup', 'liquid_cone', 'plastic_thread', 'coil_bend', 'other')",
            name=("ck_readings_what"),
        ),
        sa.CheckConstraint(
            'CASE WHEN "piece_id" IS NULL THEN 0 ELSE 1 END + CASE WHEN "batch_id" IS NULL THEN 0 ELSE 1 END = 1',
            name=("ck_readings_one_of"),
        ),
        sa.CheckConstraint('length("at") = 27', name=("ck_readings_at")),
        sa.CheckConstraint('length("by") BETWEEN 1 AND 4000', name=("ck_readings_by")),
        sa.CheckConstraint('length("note") BETWEEN 1 AND 4000', name=("ck_readings_note")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=("fk_readings_act_id")),
        sa.ForeignKeyConstraint(
            ["batch_id"], ["batches.id"], name=("fk_readings_batch_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["firing_id"], ["firings.id"], name=("fk_readings_firing_id"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"], ["pieces.id"], name=("fk_readings_piece_id"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=("pk_readings")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_readings_act_id", "readings", ["act_id"], unique=False)
    op.create_index("ix_readings_batch_id", "readings", ["batch_id"], unique=False)
    op.create_index("ix_readings_firing_id", "readings", ["firing_id"], unique=False)
    op.create_index("ix_readings_piece_id", "readings", ["piece_id"], unique=False)

    for name, parts in KEYS.items():
        op.create_index(f"uq_{name}_key", name, [sa.text(part) for part in parts], unique=True)
