"""How a question is answered: one module a kind, each with the same four functions (see `table`)."""
