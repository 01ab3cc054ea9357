"""The main dimensions of the van (mm), shared by all views so that they agree."""

from __future__ import annotations

LENGTH = 4620.0  # front bumper face to rear edge of the step plate
WIDTH = 1750.0  # over the wings
MIDDLE = WIDTH / 2
GAP = 5.0  # shut lines

FRONT_WHEEL = (738.0, 345.0)
REAR_WHEEL = (3440.0, 345.0)
TYRE, RIM, HUB = 345.0, 222.0, 108.0
ARCH = 402.0

DOOR_FRONT, DOOR_REAR = 1222.0, 2207.5  # shut lines
BODY_REAR = 4512.5  # rear edge line of the cargo sides
CARGO_BOTTOM = 616.3  # seam to the sill; trued so that a cargo side is 2 645 000 mm²
WAIST_LOW, WAIST_HIGH = 1180.0, 1240.0
RAIL_LOW, RAIL_HIGH = 1792.5, 1842.5  # gutter rail
REPAIR_LONG, REPAIR_HIGH = 410.0, 440.0

CAP_FRONT, CAP_REAR = 1440.0, 4474.0  # cap at its foot, in side view
CAP_HALF = 770.0  # half its width at the foot
CAP_LEAN = 180.0  # how far its walls lean in up to the roll line
CAP_ROLL = 2042.0  # height of the roll line
CAP_TOP = 2088.0
CAP_CORNER = 44.0  # where side and end walls part, in from each corner

BONNET_REAR = 1130.0
