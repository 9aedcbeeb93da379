"""The cautions of the pages, as words: for paper."""

from django.template.loader import render_to_string
from lxml import html

Caution = tuple[str, str]


def cautions(about: str) -> tuple[Caution, ...]:
    """Heading and words of each caution that `cautions.html` has about this."""
    page = html.fragment_fromstring(render_to_string("cautions.html", {"about": about}))
    return tuple(
        (str(heading.text_content()).strip(), str(heading.tail or "").strip())
        for heading in page.iterfind("p/strong")
    )
