"""Words in the language of the person, as every screen imports them.

The catalogues themselves are read in a lower layer, which session and reports use too. Knows
where words come from; must know no screen.
"""

from trainer.base.retold import again, spelt
from trainer.base.tongue import (
    DOMAINS,
    LANGUAGES,
    PSEUDO,
    later,
    speak,
    speaking,
    spoken,
    term,
    tr,
)

DOMAIN = DOMAINS[0]
__all__ = (
    "DOMAIN", "LANGUAGES", "PSEUDO", "again", "later", "speak", "speaking", "spelt", "spoken", "term", "tr",
)  # fmt: skip
