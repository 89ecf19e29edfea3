"""Schema changes, each applied once; the guards are taken off before and put back after, in the same transaction."""
