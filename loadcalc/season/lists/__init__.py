"""The parts of reading a gear list: file kinds, header, cells, rows, totals, matching. Doors: tables_in, tables_out."""
