"""Pictures: of a study, of layouts of a tank, of a loop.

pictures.py   from a study to pictures in a folder, and how any picture is written
tank/         the tank in three dimensions
flat/         sections, the view from above, the cycle, measured points
layouts/      two layouts or more: pictures.py, from a comparison to pictures in a folder
loop/         the loop outside the tank: pictures.py, from a loop to pictures in a folder
sheets/       what all of them share
"""

import logging

logging.getLogger("matplotlib").setLevel(logging.ERROR)  # it tells of its font cache and of font weights on stderr
