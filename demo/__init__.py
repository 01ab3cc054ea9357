"""The demo vehicle: an invented delivery van as an open folder, and the script that draws it."""

from __future__ import annotations

from pathlib import Path

VEHICLE_FOLDER = Path(__file__).resolve().parent / "vehicle"
CAP_OFF_PLAN = VEHICLE_FOLDER.parent / "plan_cap_off.csv"
