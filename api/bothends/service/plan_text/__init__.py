"""A plan as text to be read beside the car; needs nothing but the answer."""
