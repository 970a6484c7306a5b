"""The demo's maker of profiles: one page that a fitter is given with them."""

from weasyprint import HTML

PAGE = """<html lang="en"><head><title>{system}: the head track</title><style>
@page {{ size: A5; margin: 14mm }} body {{ font: 12pt/1.5 sans-serif; color: #22303c }}
.quiet {{ color: #5a6672 }}
</style></head><body>
<h1>{system}: the removable head track</h1>
<p class="quiet">Invented for the demo; from no maker.</p>
<ol>
<li>Take the middle length of the track out before the frame is lifted.</li>
<li>Drill the head in the channel behind it, where the plan of the fitting says.</li>
<li>Sweep the channel: a chip in the track lifts a carrier.</li>
<li>Put the length back the way round it came, and run one leaf along all of it by hand.</li>
</ol>
<p>What the frame stands on, and whoever is licensed for it, come before this page.</p>
</body></html>"""


def instruction_of(system: str) -> bytes:
    """A PDF of one page."""
    pdf: bytes = HTML(string=PAGE.format(system=system)).write_pdf()
    return pdf
