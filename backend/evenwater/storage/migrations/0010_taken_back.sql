-- Whether an entry is taken back, asked of the entry: without this each page of the pond book would read every take back.
CREATE INDEX entry_taken_back ON entry (json_extract(content, '$.entry')) WHERE kind = 'take_back';
