"""How often a hand goes to the glass: each press of a finger, and each field that is typed into."""

from __future__ import annotations

_COUNT = """(() => {
    const add = () => sessionStorage.setItem('touches', 1 + Number(sessionStorage.getItem('touches')));
    let pressed = 0;
    addEventListener('pointerdown', () => { pressed = performance.now(); add(); }, true);
    addEventListener('focusin', event => {  // a field that the test fills without a press is one a hand would touch
        if (event.target.matches('input, textarea') && performance.now() - pressed > 400) add();
    }, true);
})()"""


class Touches:
    """Counts them on a page from its next address on; a file that is chosen is not a touch of the page."""

    def __init__(self, page) -> None:
        self._page = page
        page.add_init_script(_COUNT)

    def count(self) -> int:
        """How many there were."""
        return self._page.evaluate("() => Number(sessionStorage.getItem('touches'))")
