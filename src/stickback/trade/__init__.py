"""The trade's own facts and formulas, each with its source; nothing here knows a course or a student."""
