"""Values worked out: an allow-list of formulas, and what is drawn anew from a seed."""
