"""What a student still knows on a day: a fold over the answer log, always rebuildable."""
