"""Upkeep of a heated, insulated koi pond: today's round, the right amounts, an honest forecast."""

__version__ = "0.1.0"
