"""The household meal helper: what to cook from what is there, what it costs, who may eat it."""

__version__ = "0.1.0"
