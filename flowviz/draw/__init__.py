"""Pictures of a study."""

import logging

logging.getLogger("matplotlib").setLevel(logging.ERROR)  # it tells of its font cache and of font weights on stderr
