"""Pictures as SVG: scenes drawn from a few words, and charts from plain numbers."""
