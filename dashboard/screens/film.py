"""Film across the body: map, both sides, verdicts, unexplained film, filler, polishing; gauge files and the spot plan."""

from __future__ import annotations

from dashboard.components import film_page

film_page.show()
