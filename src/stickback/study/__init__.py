"""What to ask today, how a sitting goes, and where a weak topic leads: values in, values out."""
