"""Columns and keys of the lab folder, in the order they are written."""

_COLUMNS = """
settings: name value
people: person name role until
families: family stain_rank note
materials: material kind specific_gravity loi_pct price_per_kg caution note
lots: lot material received_on received_kg moisture_pct note
instruments: instrument kind step unit since until note
properties: property title of kind unit formula digits low high usual_low usual_high better standard source note
property_inputs: property position input unit low high label
property_words: property score words
profiles: profile title family cone peak_temp_c note
profile_targets: profile property low high
bodies: body title family parent test_set control stain_rank slip_sg workable_water_pct note
body_lines: body position material parts
slabs: slab family shape length_mm width_mm thickness_mm usable_area_cm2 plaster pour mix_ratio plaster_g water_g
  cast_at in_service_on retired_on dry_mass_g note
slab_log: slab at event face until mass_g water_g family place air_temp_c air_rh_pct air_speed_m_s ring_area_cm2
  ring_water_ml ring_seconds count by note standing
air: at place air_temp_c air_rh_pct air_speed_m_s note
batches: batch body made mixed_at dry_mass_g water_g slip_sg slip_temp_c deflocculant_g by note
batch_lines: batch position material lot mass_g
batch_log: batch at event material lot mass_g slip_sg slip_temp_c mesh by note
runs: run batch slab face started_at poured_g area_cm2 layer_mm slip_sg slip_temp_c slab_before_g slab_after_g
  air_temp_c air_rh_pct air_speed_m_s ended_at clay_off_g outcome wedged_on by note
checks: run at feel action penetration_mm by note
firings: firing fired_on kiln cone peak_temp_c hold_min atmosphere note ended_at load_kg programme
firing_cones: firing cone place bent bent_deg note
pieces: piece batch run shape formed_at formed_how plastic_mm plastic_g dry_at dry_how dry_mm dry_g ended_at ended
  note
fired: piece firing fired_mm fired_g soaked_at soaked_g suspended_g soak_method warp_pct colour note place
  soak_hours
readings: piece batch firing at what value count wet_g dry_g by note run body slab lot material together instrument
  step method temp_c sign value_high word
faults: piece run firing seen_on fault count note
photos: file piece body slab taken_on note sha256 firing run batch
reminders: reminder at every_h until text slab run piece batch
"""
_KEYS = """
settings: name
people: person
families: family
materials: material
lots: lot
instruments: instrument
properties: property
property_inputs: property position
property_words: property score
profiles: profile
profile_targets: profile property
bodies: body
body_lines: body position
slabs: slab
slab_log: slab at event
air: at place
batches: batch
batch_lines: batch position
batch_log: batch at event
runs: run
checks: run at
firings: firing
firing_cones: firing cone place
pieces: piece
fired: piece firing
readings: piece batch firing at what run body slab lot material together
faults: piece run firing seen_on fault
photos: file
reminders: reminder
"""


def _listed(text: str) -> dict[str, tuple[str, ...]]:
    """Names after the name of each table; a line that is indented goes on."""
    lines = text.replace("\n  ", " ").strip().splitlines()
    return {table: tuple(names.split()) for table, _, names in (line.partition(":") for line in lines)}


COLUMNS = _listed(_COLUMNS)
KEYS = _listed(_KEYS)
