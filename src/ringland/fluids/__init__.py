"""What goes into the engine: oil in the fuel, coolant, and how fast the whole cools again.

Here: premix (`premix`), coolant by volume (`coolant`), cooling between heat cycles (`cooling`).
Not here: the maker's ratios and fills (`ringland.sheet`), mixture of fuel and air (`ringland.gas`).
Start with `premix.oil_for` or `coolant.freeze_point`.
"""
