-- What a plan reads however old it is: without these each plan would look through the whole log.
CREATE INDEX entry_lasting ON entry (seq) WHERE kind IN ('take_back', 'change', 'service', 'meter', 'fish_move');
