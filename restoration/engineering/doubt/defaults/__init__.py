"""The default rules of doubt, each with its reason; a site may change what each asks.

Common practice of commissioning, no source. A number is never given to another rule; a new rule takes the next.
"""

from restoration.engineering.doubt.defaults.acts import FROM_ACTS
from restoration.engineering.doubt.defaults.shared import SHARED
from restoration.engineering.doubt.defaults.slots import AT_A_SLOT

DEFAULT_RULES = AT_A_SLOT + SHARED + FROM_ACTS
"""Every default rule, by number."""
