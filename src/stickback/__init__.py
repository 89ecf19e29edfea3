"""stickback: the ground-school memory of a pilot learning to fly taildraggers."""
