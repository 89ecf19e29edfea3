"""The parts of a course as small as can be, as bytes of its files."""

PLAN = b"---\nid: tw\ntitle: T\n---\n\n## Lesson 1: Take-off {#take-off}\n\n### Swing {#swing}\n\nText.\n"
SHEET = b"---\nname: A\ncallsign: G-QTWB\npropeller: clockwise\nbrakes: heel\ntailwheel: skid\nspeed_unit: kt\n---\n"
FRONT = b"---\ntopic: swing\n---\n\n"
OPTIONS = b"\n\n- [x] Yes\n- [ ] No\n"
DECK = FRONT + b"## Q {#q}" + OPTIONS
