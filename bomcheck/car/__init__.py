"""The brakes as a system: balance, pedal, heat, fluid. Pure arithmetic; its findings stand beside the fit verdict.

Piston areas are those of ONE side everywhere: a fixed caliper's pistons of one side, all pistons of a sliding one. Two
pads rub, so torque and fluid take twice that area.
"""
