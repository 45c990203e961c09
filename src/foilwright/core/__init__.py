"""What everything else stands on: errors, units, tables, validity, root finding."""
