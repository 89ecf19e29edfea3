"""How a question is answered: a module a kind, all behind one protocol; `table` lists them."""
