"""What the parts are made of, how stiffly they hold, what acts on them, and what they bear of it."""

from foilwright.questions.state.structure.cases import Cases, cases
from foilwright.questions.state.structure.compliance import Compliance, compliance
from foilwright.questions.state.structure.footing import Footing, footing
from foilwright.questions.state.structure.holding import Holding, holding
from foilwright.questions.state.structure.joining import Joining, joining
from foilwright.questions.state.structure.strength import MastStrength, along_mast, mast_strength
from foilwright.questions.state.structure.stuff import Bears, stuffs
from foilwright.questions.state.structure.sun import SunState, sun_state

__all__ = [
    "Bears",
    "Cases",
    "Compliance",
    "Footing",
    "Holding",
    "Joining",
    "MastStrength",
    "SunState",
    "along_mast",
    "cases",
    "compliance",
    "footing",
    "holding",
    "joining",
    "mast_strength",
    "stuffs",
    "sun_state",
]
