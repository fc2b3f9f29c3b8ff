"""Receiving: a packing slip against what was ordered and what the kit's box must hold."""
