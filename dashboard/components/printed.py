"""Printing from the browser: a chart is printed as wide as it is on screen, and what is laid over it with it."""

from __future__ import annotations

SCRIPT = """<script>(() => {
  if (window.__printed) return;
  window.__printed = true;
  window.addEventListener("beforeprint", () => {
    for (const held of document.querySelectorAll('.st-key-map_held, [class*="st-key-plan_held"]')) {
      const chart = held.querySelector(".js-plotly-plot");
      if (chart && chart._fullLayout) held.style.setProperty("--chart-width", `${chart._fullLayout.width}px`);
    }
  });
})()</script>"""
