"""bomcheck: will this brake kit go on this corner, and what must be added, machined, measured and ordered first?"""

__version__ = "0.1.0"
