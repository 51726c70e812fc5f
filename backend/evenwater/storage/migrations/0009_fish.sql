-- Measures and sightings of fish last as well: without these each plan would look through the whole log.
DROP INDEX entry_lasting;
CREATE INDEX entry_lasting ON entry (seq)
  WHERE kind IN ('take_back', 'change', 'service', 'meter', 'fish_move', 'fish_measure', 'fish_seen');
-- Growth is told by the warmth of the water over years.
CREATE INDEX entry_water ON entry (pond, placed_at)
  WHERE kind = 'reading' AND json_extract(content, '$.quantity') = 'temperature_c';
