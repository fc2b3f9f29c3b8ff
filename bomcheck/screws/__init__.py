"""Screws by the numbers: preload from torque, strength, wrenches, wire. Pure arithmetic on threads; no job, no sheets."""
