"""Series impedance of the site of a plate: transformer, service, branch.

Knows the plate's supply and the tables; knows no motor.
"""

from __future__ import annotations

from trainer.sizing import conductors, supply
from trainer.sizing.nameplate_file import Supply


def service_ohms(feed: Supply, volts: float) -> complex:
    """Series impedance up to the panel: transformer and service [ohm]. Utility side stiff."""
    total = supply.transformer_ohms(feed.transformer / 1000.0, volts) if feed.transformer else 0j
    if feed.service:
        total += supply.drop_ohms(feed.service.length, feed.service.gauge)
    return total


def source_ohms(feed: Supply, volts: float) -> complex:
    """Series impedance up to the unit: transformer, service, branch [ohm]."""
    total = service_ohms(feed, volts)
    if feed.branch:
        total += conductors.loop_ohms(feed.branch.gauge, feed.branch.length)
    return total
