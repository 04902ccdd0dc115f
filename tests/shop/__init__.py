"""A simulated season: cars with more physics than the product's model, a mechanic, and the judge.

Seeds 0-9999 are for tuning. Seeds from 1,000,000 up are for judging: nobody tunes the product on them, and no
number from them may lead to a change in the model short of a bug. Nothing of the season imports the
model: whoever judges passes ``solve`` in. ``sbc`` alone does, for there it is the model's beliefs that are drawn.
"""
