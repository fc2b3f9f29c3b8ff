"""The work on the car, made for one job: steps with their parts, torques, tools, shims, checks and test. Pure data."""
