"""The cautions that every program carries. None of them is replaced by anything here."""

from __future__ import annotations

CAUTIONS = (
    "This program is a start. It doesn't replace a qualified person, the machine maker's "
    "manual, or the rules of the shop and the country.",
    "Controls differ: check every G and M word, the cycles, the peck re-entry, the coolant "
    "word, and the unit of dwell P that is named above, against the manual of this control.",
    "Check the work zero: X0 Y0 at the part zero, Z0 at the entry face. Check the pocket and "
    "the length of every tool.",
    "After a tool change X and Y move at the height at which the change leaves the spindle. "
    "Check that the way there, and between the holes, is clear of clamps and fixture.",
    "Prove it out: first dry, in single block, with the work zero raised above the part and "
    "a hand on feed hold.",
    "Guards closed. Keep hands, gloves, rags and loose sleeves away from a turning tool. The "
    "spindle stands still before anybody gauges, deburrs or clears chips.",
    "Clamp the part against the grab when a drill breaks through.",
)
"""In the order in which they are wanted at the machine (common practice; practice 2.2)."""

HOLD = (
    "ON HOLD: this job is not released. Cut only test holes, attended. The program stops "
    "between the holes: gauge each with the spindle still before going on."
)
"""What a program says while its job is on hold."""

DESPITE_HOLD = (
    "WRITTEN DESPITE A HOLD, on the word of whoever asked for it. Why the job is on hold: {} "
    "Parts made by this program are not released."
)
"""What a program says that was asked for although the job is on hold."""
