"""The words by which the columns, units and statistics of gauge files are known, in the languages gauges are set to.

Words are compared in lower case, without accents, units, brackets and punctuation. A word that is not here is not guessed at
by its look: the column is then told by what stands in it, and that is said.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Literal

Unit = Literal["um", "mil", "mm"]
Role = Literal["value", "number", "spot", "batch", "taken", "date", "time", "unit", "statistic", "note", "ignore"]

ROLE_WORDS: dict[Role, str] = {
    "value": "reading readings value values thickness film dft coating measurement messwert wert einzelwert schichtdicke "
    "dicke mesure epaisseur valeur meting meetwaarde dikte laagdikte lectura espesor medida misura spessore lettura",
    "number": "no nr n num number index item id count lfd pos numero nummer",
    "spot": "spot point location position site place messstelle messpunkt stelle punkt emplacement meetpunt plek punto "
    "sticker",
    "batch": "batch lot group job series serie charge los panel part zone bauteil groupe lote lotto",
    "date": "date datum fecha jour tag",
    "time": "time zeit uhrzeit heure tijd hora ora",
    "unit": "unit units einheit unite eenheid unidad unita",
    "statistic": "mean average avg std sd sdev stdev stdabw min max minimum maximum range cov cv sigma median sum "
    "mittelwert standardabweichung spannweite anzahl moyenne ecart gemiddelde media desviacion deviazione",
    "note": "note notes remark remarks comment comments bemerkung kommentar remarque opmerking nota",
    "ignore": "temp temperature rh humidity probe sonde serial battery mode substrate nominal cal calibration",
}
_SEVERAL: dict[Role, str] = {
    "taken": "date time;date and time;datum zeit;datum uhrzeit;date heure;datetime;timestamp;taken;measured",
    "number": "lfd nr;reading no;reading nr;reading number;mess nr",
    "statistic": "std dev;ecart type;std abw;standard deviation",
}
_STATISTICS = (
    "mean average avg std sd sdev stdev min max minimum maximum range cov cv sigma median n count readings statistics "
    "summary total mittelwert standardabweichung stdabw spannweite anzahl statistik moyenne ecart nombre gemiddelde "
    "aantal media desviacion deviazione numero minimo massimo maximo"
)
_UNIT_OF: dict[str, Unit] = {
    "µm": "um",
    "μm": "um",
    "um": "um",
    "micron": "um",
    "microns": "um",
    "mil": "mil",
    "mils": "mil",
    "thou": "mil",
    "mm": "mm",
}
_UNIT = re.compile(r"(?<![A-Za-zµμ])(µm|μm|um|microns?|mils?|thou|mm)(?![A-Za-zµμ])", re.IGNORECASE)
_VALUE_NUMBER = re.compile(r"[rmx]?\d{1,3}")


def plain(text: str) -> str:
    """A word as it is compared: lower case, no accents, no units, no signs, single spaces.

    >>> plain(" Épaisseur (µm) "), plain("Std. Dev."), plain("Reading 3")
    ('epaisseur', 'std dev', 'reading 3')
    """
    bare = unicodedata.normalize("NFKD", _UNIT.sub(" ", text))
    letters = "".join(sign if sign.isalnum() else " " for sign in bare if not unicodedata.combining(sign))
    return " ".join(letters.lower().split())


def units_in(text: str) -> tuple[Unit, ...]:
    """The units named in a text, each once.

    >>> units_in("Film [µm]"), units_in("3.2 mils"), units_in("summer")
    (('um',), ('mil',), ())
    """
    return tuple(dict.fromkeys(_UNIT_OF[found.lower()] for found in _UNIT.findall(text)))


def only_unit(text: str) -> Unit | None:
    """The unit where a text is a unit and nothing else."""
    return _UNIT_OF.get(text.strip(" []().").lower())


def role_of(header: str) -> Role | None:
    """What a column is by its header; None where no word tells."""
    word = plain(header)
    if not word:
        return "value" if units_in(header) else None
    several: list[Role] = [role for role, sayings in _SEVERAL.items() if word in sayings.split(";")]
    if several:
        return several[0]
    first = re.sub(r" ?\d+$", "", word)
    single: list[Role] = [role for role, words in ROLE_WORDS.items() if first in words.split()]
    if single:
        return single[0]
    values = ROLE_WORDS["value"].split()
    return "value" if _VALUE_NUMBER.fullmatch(word) or any(one in values for one in word.split()) else None


def is_statistic(cell: str) -> bool:
    """Whether a cell names a statistic: its first word is one, as in `Mean`, `Std. dev.:`, `Max (µm)` or `n = 20`."""
    words = plain(cell).split()
    return bool(words and words[0] in _STATISTICS.split()) or cell.strip().lower() in ("σ", "x̄", "ø")


def batch_named(cells: list[str]) -> str | None:
    """The batch that a row names (`Batch: B1`, `Lot;17`, `Batch 3`); None where it names none."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled or len(filled) > 2:
        return None
    head, _, rest = filled[0].partition(":")
    words = head.split()
    if not words or plain(words[0]) not in ROLE_WORDS["batch"].split():
        return None
    told = " ".join([*words[1:], rest.strip(), *filled[1:]]).strip()
    return told or None
