"""The text of a new scenario: every key with a comment, passing ``check`` as it stands.

Knows the form; what it says is invented. Must open no file.
"""

from __future__ import annotations

import json
import re

TITLE_MOST = 60
TEMPLATE = """\
# A scenario: one job at one unit. Everything in it is invented. Look it over with
#   condenser-bench check FILE      every fault with its line, and proofs by simulation
#   condenser-bench scenarios show FILE --seed 1 --key      the answer sheet of one variant
scenario: 1                       # form of this file; older ones are brought up by themselves
title: {title}
level: 3                          # 1 orientation ... 6 assessed
setting: Where it is, in a line
# What the person is told. Say nothing here that has to be found out.
briefing: |
  The lead on the can's HERM came off. Make the unit dead, put it back, and start it.
layout: larkspur-row              # a file of scenarios/layouts, without .yaml
start:
  state: as found                 # or proved dead: somebody made it dead before
  hands: {{disconnect: close}}      # verb done to each part; only what differs from the layout
  # running_for: 3 s              # the hands were just done and the unit has run so long
  # covers_off: [control-panel]
  # set: {{service: {{volts: 232 V}}}}
  # How it is wired now, as changes of the factory's work: remove, lift, parts_out, parts, set,
  # land, add, colours, done in this order.
  wiring:
    lift: ["7.a"]                 # conductor 7, its end a
plant:
  faults: []                      # planted conditions, by their id in the table of faults
  charges: {{can.H: 310 V}}         # direct volts; only where the circuit holds them
# What shows each condition that may be planted, and what does not show it:
# symptoms:
#   F21:
#     - {{name: HERM section, setting: farads, at: [can.C, can.H], lifted: [can.H], when: dead,
#        between: [0 uF, 1 uF], unlike: [F03]}}
tray: {{}}                          # parts to be fitted, by name: {{type: TYPE}}
tools: [own lock, own tag, multimeter, discharge resistor]
target: {{}}                        # what is wanted, as a change of the factory's work
alternates:                       # what is right as well, each a change of the factory's work
  another tab of HERM:
    land: {{"7.a": can.H:b}}
symmetries:                       # terminals that may change places
  - [contactor.A1, contactor.A2]
proof: {{call: call, after: 2 s}}   # how the wanted unit is energised to prove it
readings:                         # what the job asks for; right values come from the circuit
  - {{name: HERM on dc, setting: V dc, at: [can.C, can.H], when: dead}}
  - {{name: start lead amps, with: clamp, at: ["7"], when: running}}
rubric: standard                  # file of marks
time: 30 min
hints:
  look: Where to look.
  think: What to think of.
  do: What to do.
debrief:
  - say: A lifted capacitor keeps its charge; nothing on the board shows it.
    source: common practice, no source
model: ""                         # file of acts in scenarios/moves that does the job
variants:
  dials:                          # each drawn from the seed by itself
    colours: {{draw: colours, wires: ["4", "5", "6", "7"]}}
    dirt: {{draw: dirt, places: [can.C, can.H, can.F], count: 1}}
    paper: {{draw: diagram, states: [clean, dirty, missing, older]}}
    supply: {{draw: value, part: service, field: volts, between: [228 V, 246 V]}}
    held: {{draw: charge, on: can.H, between: [180 V, 380 V]}}
  constraints:                    # draws that do not go together
    - never: {{paper: [missing, older], dirt: can.H}}
"""


def new_scenario(title: str) -> str:
    """The text of a scenario with this title."""
    return TEMPLATE.format(title=json.dumps(" ".join(title.split())[:TITLE_MOST]))


def file_name(title: str) -> str:
    """The file a scenario of this title would be kept in."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    return f"{'-'.join(words)[:TITLE_MOST] or 'scenario'}.yaml"
