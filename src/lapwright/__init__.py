"""lapwright: find, hold and prove the weld window of a hot-air welded roof lap.

The story runs from the strip to the seam: :mod:`~lapwright.readings` takes in what
the crew wrote down, :mod:`~lapwright.physics` turns air, speed and sheet into the
heat a lap feels, :mod:`~lapwright.window` infers bottom and top of the weld window
from few strips, :mod:`~lapwright.job` joins them into the crew's morning, and
``report``, ``cli`` and ``web`` say it in the reader's units and language.
"""

__version__ = "0.1.0"
