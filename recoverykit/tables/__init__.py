"""Tables: data/ as typed records."""
