"""How the dashboard looks: colours by meaning for light and dark, and the little CSS that Streamlit has no option for.

A quiet drawing office: warm paper, ink grey. Text on its ground keeps at least 4.5:1 (WCAG 2.2, 1.4.3), targets are
44 CSS pixels (WCAG 2.2, 2.5.5), body text 16 px.
"""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.views import palette as palette_of_charts
from dashboard import theme_for_all

BASE_FONT_PX = 16
TARGET_PX = 44


@dataclass(frozen=True)
class Palette:
    """Colours of one theme as #rrggbb."""

    paper: str
    panel: str
    ink: str
    accent: str
    rule: str


LIGHT = Palette(paper="#fbf9f4", panel="#f1ede4", ink="#23272b", accent="#1c5d6b", rule="#cfc8b8")
DARK = Palette(paper="#1a1c1f", panel="#272a2e", ink="#ece8df", accent="#7cc7d6", rule="#565b61")


def streamlit_options() -> dict[str, str]:
    """Streamlit options of both themes, by option name."""
    options = {
        "theme.baseFontSize": str(BASE_FONT_PX),
        "theme.baseRadius": "6px",
        "theme.showWidgetBorder": "true",
        "theme.metricValueFontSize": "1.5rem",
    }
    for name, palette in (("light", LIGHT), ("dark", DARK)):
        options |= {
            f"theme.{name}.primaryColor": palette.accent,
            f"theme.{name}.backgroundColor": palette.paper,
            f"theme.{name}.secondaryBackgroundColor": palette.panel,
            f"theme.{name}.textColor": palette.ink,
            f"theme.{name}.borderColor": palette.rule,
        }
    return options


# Ordinary CSS on Streamlit's test ids; nothing from a record is ever put in here.
_CSS = """
[data-testid="stMainBlockContainer"] { padding: 0.75rem 1.5rem 3rem; max-width: 120rem; }
[data-testid="stHeader"], [data-testid="stHeader"] * { background: transparent; pointer-events: none; }
[data-testid="stHeader"] :is(button, button *) { pointer-events: auto; }
.st-key-stages { padding-right: 3.5rem; border-bottom: 1px solid RULE; padding-bottom: 0.25rem; }
.st-key-stages [data-testid="stPageLink"] a { min-height: TARGETpx; padding: 0 0.6rem; }
.st-key-stages [data-testid="stPageLink"] p { font-size: FONTpx; white-space: nowrap; }
.st-key-stages [data-testid="stPageLink"] a[aria-current="page"] { box-shadow: inset 0 -3px 0 ACCENT; }
[data-testid="stVerticalBlock"] { gap: 0.75rem; }
[data-testid="stApp"] :is(button, summary, [role="combobox"], [role="option"]),
[data-testid="stApp"] [data-testid="stTextInputField"], [data-testid="stApp"] [data-testid="stNumberInputField"],
[data-testid="stApp"] :is([data-testid="stSelectbox"], [data-testid="stMultiSelect"]) [role="group"],
[data-testid="stApp"] :is([data-testid="stTextInputRootElement"], [data-testid="stNumberInputContainer"]),
[data-testid="stApp"] [data-testid="stRadioOption"],
[data-testid="stApp"] [data-testid="stCheckbox"] label { min-height: TARGETpx; }
[data-testid="stApp"] [role="tab"] { min-height: TARGETpx; min-width: TARGETpx; }
[data-testid="stApp"] button { min-width: TARGETpx; }
[data-testid="stCheckbox"] label, [data-testid="stRadioOption"]{ align-items: center; }
[data-testid="stButtonGroup"] p, [data-testid="stWidgetLabel"] p,
[data-testid="stCaptionContainer"] p, [data-testid="stTable"], [data-testid="stTable"] p,
[data-testid="stExpander"] summary p, [role="tab"] p, [data-testid="stButton"] p, [data-testid="stDownloadButton"] p,
[data-testid="stApp"] input, [data-testid="stApp"] textarea, [role="option"] { font-size: FONTpx; }
[data-testid="stCaptionContainer"] { color: inherit; opacity: 0.85; }
[data-testid="stText"] { font-family: inherit; white-space: pre-wrap; overflow-wrap: anywhere; }
[data-testid="stApp"] [data-testid="stBaseButton-primary"], [data-testid="stApp"] [data-testid="stBaseButton-primary"] p,
[data-testid="stMultiSelectTagsContainer"] [data-tag], [data-testid="stMultiSelectTagsContainer"] [data-tag] * {
  color: PAPER;
}
[data-testid="stHeading"] h3 { padding: 0.25rem 0; font-size: 1.35rem; }
.st-key-over_the_map [data-testid="stWidgetLabel"], .st-key-rehearsal_cards [data-testid="stWidgetLabel"] { display: none; }
@media (min-width: 1101px) {
  .st-key-map_and_card [data-testid="stColumn"]:first-child > [data-testid="stVerticalBlock"] {
    position: sticky; top: 4rem; height: fit-content;
  }
}
.st-key-map_held, [class*="st-key-plan_held"] { position: relative; gap: 0; }
[data-testid="stElementContainer"]:has(.laid_over) { position: absolute; inset: 0; pointer-events: none; }
.laid_over { --chart: 100%; position: absolute; overflow: hidden; pointer-events: none; translate: -50%;
  width: min(calc(var(--chart) - var(--sides)), var(--most)); left: calc(var(--chart) / 2 + var(--shift)); }
:is(.st-key-map_held, [class*="st-key-plan_held"]):has(.hoverlayer .hovertext) .laid_over > svg { opacity: 0.3; }
.laid_over > svg { width: 100%; height: 100%; display: block; }
.laid_over path { fill: none; stroke-linejoin: round; vector-effect: non-scaling-stroke; }
.laid_sign { position: absolute; translate: -50% -50%; line-height: 0; }
.laid_sign b { position: absolute; bottom: 100%; left: 50%; translate: -50%; padding: 2px; font-size: 14px;
  line-height: 1.2; }
.laid_sign.words_below b { bottom: auto; top: 100%; }
[data-testid="stSlider"] div:has(> [data-testid="stSliderThumbValue"]) {
  width: TARGETpx; height: TARGETpx; border-radius: 50%;
}
[data-testid="stSlider"] [role="group"] { padding: 2.25rem 1.25rem 1rem; }
[data-testid="stSliderThumbValue"] p { font-size: FONTpx; }
.st-key-coat_chart, .st-key-fitted_table { overflow-x: auto; }
.st-key-rehearsal_list [data-testid="stRadioOption"] p { font-size: FONTpx; }
.st-key-rehearsal_slider [data-testid="stSlider"] [role="group"] { padding: 0.75rem 1.25rem 0.25rem; }
.st-key-rehearsal_slider [data-testid="stSliderThumbValue"] {
  inset: 0; transform: none; display: grid; place-items: center; color: PAPER;
}
.st-key-survey_head [data-testid="stButtonGroup"] button, .st-key-last_layer button { min-height: 52px; padding: 0 1rem; }
:is([class*="save_bar"], [data-testid="stLayoutWrapper"]:has(> [class*="save_bar"])) {
  position: sticky; bottom: 0; z-index: 5; }
[class*="save_bar"] { background: PAPER; padding: 0.5rem 0; gap: 0.25rem; border-top: 1px solid RULE; }
[class*="save_bar"] button { min-height: 52px; }
[data-testid="stMain"]:has([class*="save_bar"]) { scroll-padding-bottom: 7rem; }
:is(.st-key-unseen_list, .st-key-parts_list) button > div { width: 100%; justify-content: flex-start; }
:is(.st-key-unseen_list, .st-key-parts_list) button p { text-align: left; }
.st-key-hand_over_figures [data-testid="stMetricLabel"] p { font-size: FONTpx; }
.st-key-entry_filters [data-testid="stDateInputField"] { height: TARGETpx; font-size: FONTpx; }
.st-key-story { background: PANEL; border-left: 4px solid ACCENT; border-radius: 6px; padding: 0.5rem 3rem 0.5rem 0.75rem; }
.st-key-story_text { min-width: min(34rem, 100%); }
@media (min-height: 700px) {
  [data-testid="stLayoutWrapper"]:has(> .st-key-story) { position: sticky; top: 0; z-index: 20; }
  [data-testid="stMain"]:has(.st-key-story) { scroll-padding-top: 12rem; }
}
@media (max-width: 1100px) {
  [data-testid="stApp"] :is(.st-key-parts_list, :has(> .st-key-parts_list)) { max-height: 330px; }
  .st-key-rehearsal_head { flex-direction: column; }
  .st-key-rehearsal_head > * { flex: 0 0 auto; }
  .st-key-rehearsal_maps [data-testid="stHorizontalBlock"]:has(> [data-testid="stColumn"]),
  .st-key-rehearsal_card_box [data-testid="stHorizontalBlock"]:has(> [data-testid="stColumn"]) { flex-direction: column; }
  :is(.st-key-rehearsal_maps, .st-key-rehearsal_card_box) [data-testid="stColumn"] { width: 100%; min-width: 100%; }
  .st-key-order_and_words > [data-testid="stHorizontalBlock"],
  .st-key-order_and_words > * > [data-testid="stHorizontalBlock"] { flex-direction: column; gap: 0.75rem; }
  .st-key-order_and_words [data-testid="stColumn"], .st-key-order_and_words [data-testid="stColumn"] > div,
  .st-key-order_and_words [data-testid="stColumn"] > div > [data-testid="stVerticalBlock"] { display: contents; }
  .st-key-order_and_words :is(.st-key-disagreements, :has(> .st-key-disagreements)) { order: -1; }
  .st-key-map_and_card > [data-testid="stHorizontalBlock"],
  .st-key-map_and_card > * > [data-testid="stHorizontalBlock"] { flex-direction: column; }
  .st-key-map_and_card [data-testid="stColumn"] { width: 100%; min-width: 100%; }
  .st-key-card [data-testid="stColumn"] { width: auto; min-width: 0; }
  [data-testid="stMainBlockContainer"] { padding-left: 1rem; padding-right: 1rem; }
}
"""


def palette(theme: str) -> Palette:
    """The colours of `light` or `dark`."""
    return DARK if theme == "dark" else LIGHT


def css(theme: str) -> str:
    """The style sheet."""
    colours = palette(theme)
    words = {"TARGET": str(TARGET_PX), "FONT": str(BASE_FONT_PX)}
    words |= {"PAPER": colours.paper, "PANEL": colours.panel, "RULE": colours.rule, "ACCENT": colours.accent}
    words |= {"INK": colours.ink}
    text = _CSS + theme_for_all.CSS
    for word, value in words.items():
        text = text.replace(word, value)
    if theme == "dark":
        text += theme_for_all.print_in_light(palette_of_charts.DARK, palette_of_charts.LIGHT)
    return f"<style>{text}</style>"
