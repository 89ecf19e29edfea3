"""Everything a person is told, for every shell: no click, no HTML."""
