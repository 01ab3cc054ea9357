"""A finger does what a mouse does: one touch on a figure chooses what lies under it, and a swipe over it moves the page.

The figures answer a touch with what was under the pointer before it, so that each touch would choose what was touched last;
and they hold the page still under a swipe that moves nothing in them. Quick touches of a gloved hand on one place are one:
the second would let go what the first has chosen. A list that is touched opens without the keyboard,
which would cover it; a second touch brings the keyboard, to type a name.
"""

from __future__ import annotations

import streamlit as st

# Where dragging does nothing in the figure it is not told of the finger at all: the browser then moves the page under a
# swipe, and makes a mouse of a touch. Where a line is drawn, the figure is shown first where the finger is.
_SCRIPT = """<script>(() => {
  if (window.__fingers) return;
  window.__fingers = true;
  let last = {at: -1e9, x: 0, y: 0};
  document.addEventListener("mousedown", (event) => {
    if (!event.target.closest || !event.target.closest(".js-plotly-plot")) return;
    const again = event.timeStamp - last.at < 400 && Math.hypot(event.clientX - last.x, event.clientY - last.y) < 24;
    last = {at: event.timeStamp, x: event.clientX, y: event.clientY};
    if (again) event.stopImmediatePropagation();
  }, {capture: true});
  document.addEventListener("touchstart", (event) => {
    const under = event.target, finger = event.touches[0];
    const list = under.closest && under.closest("[data-testid=stSelectbox], [data-testid=stMultiSelect]");
    const typed = list && list.querySelector("input");
    if (typed) typed.inputMode = typed === document.activeElement ? "text" : "none";
    const figure = under.closest && under.closest(".js-plotly-plot"), layout = figure && figure._fullLayout;
    if (!layout || event.touches.length !== 1) return;
    const fixed = (axis) => !axis || axis.fixedrange;
    const still = !layout.dragmode || (layout.dragmode === "pan" && fixed(layout.xaxis) && fixed(layout.yaxis));
    if (still) event.stopImmediatePropagation();
    else under.dispatchEvent(new MouseEvent("mousemove",
      {bubbles: true, cancelable: true, view: window, clientX: finger.clientX, clientY: finger.clientY}));
  }, {capture: true, passive: true});
})()</script>"""


# The page is laid out in a few goes; a hand on it is never overruled.
_LOOK = """<script>(() => {
  let ours = true;
  for (const moved of ["wheel", "pointerdown", "keydown", "touchstart"])
    window.addEventListener(moved, () => { ours = false; }, {once: true, capture: true});
  for (const wait of [50, 400]) setTimeout(() => {
    const there = document.querySelector(".st-key-PLACE");
    if (ours && there) there.scrollIntoView({block: "start"});
  }, wait);
})() /* TIMES */</script>"""


def look_at(place: str, times: int) -> None:
    """Bring the container with the key `place` into view, once for each number in `times`."""
    st.html(_LOOK.replace("PLACE", place).replace("TIMES", str(times)), unsafe_allow_javascript=True)


def show(more: str = "") -> None:
    """Put it into the page, and `more` with it, as each such place takes room; it stays until the page is loaded anew."""
    st.html(_SCRIPT + more, unsafe_allow_javascript=True)
