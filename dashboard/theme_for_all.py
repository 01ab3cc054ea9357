"""CSS for those who go by keyboard, enlarge the page, hold a phone, or print from the browser.

`theme.css` puts colours and sizes in for the words in capitals.

Focus: WCAG 2.2, 1.4.11 and 2.4.13 (a ring of 2 CSS pixels or more, 3:1 to what is beside it). Reflow: 1.4.10; a map or
chart is excepted there, and is moved sideways in its own frame instead of being made too small to read.
"""

from __future__ import annotations

from collections.abc import Mapping

CSS = """
[data-testid="stApp"] :is(button, a, summary, [role="tab"], [role="slider"], [tabindex="0"]):focus-visible {
  outline: 3px solid ACCENT; outline-offset: 2px; }
[data-testid="stApp"] [data-testid="stButtonGroup"] button:focus-visible { outline-offset: -5px; }
[data-testid="stApp"] [data-testid="stButtonGroup"] [aria-checked="true"]:focus-visible { outline-color: INK; }
[data-testid="stApp"] [data-testid="stFullScreenFrame"] .js-plotly-plot:focus-visible { outline-offset: -3px; }
[data-testid="stApp"] :is([data-testid="stCheckbox"] label, [data-testid="stRadioOption"]):has(:focus-visible) {
  outline: 3px solid ACCENT; outline-offset: 2px; border-radius: 6px; }
[data-testid="stApp"] :is([data-testid="stTextInputRootElement"], [data-testid="stNumberInputContainer"],
  [data-testid="stTextAreaRootElement"], [data-testid="stSelectbox"] [role="group"],
  [data-testid="stMultiSelect"] [role="group"]):has(:is(input, textarea):focus-visible) {
  outline: 3px solid ACCENT; outline-offset: 1px; }
[data-testid="stSlider"] div:has(> [data-testid="stSliderThumbValue"]):has(:focus-visible) {
  outline: 3px solid ACCENT; outline-offset: 3px; }
[data-testid="stButtonGroup"] > div { flex-wrap: wrap; overflow: visible; row-gap: 0.25rem; }
[data-testid="stPagination"] > div { flex-wrap: wrap; }
.st-key-nothing_yet [data-testid="stPageLink"] a { min-height: TARGETpx; padding: 0 0.75rem; border: 1px solid ACCENT; }
.st-key-nothing_yet [data-testid="stPageLink"] p { font-size: FONTpx; }
@media (max-width: 640px) {
  .st-key-stages { padding-right: 2.75rem; }
  :is(.st-key-map, .st-key-board, .st-key-rehearsal_maps, .st-key-coat_chart, .st-key-fitted_table, .st-key-film_histogram)
    [data-testid="stFullScreenFrame"], .st-key-map_held > * { min-width: 680px; }
  .st-key-map_held { overflow-x: auto; }
  :is(.st-key-map, .st-key-board, .st-key-rehearsal_maps, .st-key-coat_chart, .st-key-fitted_table, .st-key-film_histogram)
    [data-testid="stElementContainer"] { overflow-x: auto; }
  .st-key-rehearsal_slider [data-testid="stElementContainer"]:has([data-testid="stButton"]) { flex-shrink: 0; }
}
@page { size: A4; margin: 10mm; }
@media print {
  html, body, #root, [data-testid="stApp"], [data-testid="stAppViewContainer"], [data-testid="stMain"] {
    position: static !important; height: auto !important; overflow: visible !important; background: #ffffff !important; }
  [data-testid="stMain"], [data-testid="stMain"] :not(svg, svg *) { color: #23272b !important; }
  [data-testid="stHeader"], [data-testid="stToolbar"], [data-testid="stToast"], .st-key-stages, .st-key-story,
  .st-key-controls, .st-key-over_the_map, .st-key-coat_slider, [data-testid="stMain"] :is([data-testid="stButton"],
    [data-testid="stDownloadButton"], [data-testid="stButtonGroup"], [data-testid="stMultiSelect"],
    [data-testid="stSelectbox"], [data-testid="stTextInput"], [data-testid="stTextArea"], [data-testid="stNumberInput"],
    [data-testid="stFileUploader"], [data-testid="stPopover"], [data-testid="stSlider"], [data-testid="stForm"],
    [data-testid="stPageLink"]), [data-testid="stExpander"]:not(:has(details[open])) { display: none !important; }
  .st-key-header * { background: transparent !important; }
  .js-plotly-plot { print-color-adjust: exact; -webkit-print-color-adjust: exact; break-inside: avoid; }
  [data-testid="stElementContainer"]:is(:has(.js-plotly-plot), :has(.laid_over)) { zoom: 0.6; }
  .laid_over { --chart: var(--chart-width, 860px); }
  [data-testid="stMain"] :is([data-testid="stElementContainer"], [data-testid="stTable"], [data-testid="stTable"] div) {
    overflow: visible !important; }
  [data-testid="stTable"] table { display: table; }
  [data-testid="stTable"] tr, [data-testid="stImage"] { break-inside: avoid; }
  [data-testid="stImage"] img { max-height: 180mm; width: auto; }
  [data-testid="stMain"] [data-testid="stVerticalBlock"]:not(:has(> [data-testid="stMetric"])) { display: block !important; }
  .st-key-rehearsal_card_box [data-testid="stMarkdownContainer"] { margin-bottom: 0 !important; }
  [data-testid="stMain"] :is([data-testid="stVerticalBlock"], [data-testid="stLayoutWrapper"]) {
    height: auto !important; max-height: none !important; overflow: visible !important; position: static !important; }
  [data-testid="stMain"] [class*="_held"][class*="_held"] { position: relative !important; }
  .laid_sign b { background: #ffffff !important; }
  [data-testid="stMain"] :is([data-testid="stAlertContainer"], [data-testid="stCode"], [data-testid="stCode"] *,
    [class*="save_bar"], [data-testid="stExpander"] details, [data-testid="stMetric"]) { background: #ffffff !important; }
  [data-testid="stMain"] :is([data-testid="stAlertContainer"], [data-testid="stCode"]) { border: 1px solid #23272b; }
  [data-testid="stMain"] :is(.st-key-parts_list, .st-key-unseen_list) [data-testid="stButton"] { display: block !important; }
  [data-testid="stMain"] :is(.st-key-parts_list, .st-key-unseen_list) button {
    background: #ffffff !important; border: 0; min-height: 0; }
}
"""


def print_in_light(dark: Mapping[str, str], light: Mapping[str, str]) -> str:
    """Rules by which charts drawn for a dark ground are printed in the colours of the light one, meaning by meaning.

    Args:
        dark: colours #rrggbb of the charts by what they mean, as they are drawn.
        light: colours of the same meanings on paper.
    """
    rules = []
    for meaning, colour in dark.items():
        drawn = f"rgb({', '.join(str(int(colour[at : at + 2], 16)) for at in (1, 3, 5))})"
        rules += [
            f'.js-plotly-plot [style*="{what}: {drawn}"] {{ {what}: {light[meaning]} !important; }}'
            for what in ("fill", "stroke", "background")
        ]
        rules.append(f'.laid_over [stroke="{colour}"] {{ stroke: {light[meaning]}; }}')
    return "@media print {\n" + "\n".join(rules) + "\n}\n"
