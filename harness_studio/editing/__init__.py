"""What people type becomes edits: fields of things, tables of them, filters, the bench, ringing out, faces."""
