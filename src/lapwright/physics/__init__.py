"""What the day does to the weld: pure formulas, SI and kelvin, each with its source.

``heat`` turns air temperature, speed and sheet temperature into the temperature of
the lap faces and back; ``lap`` (on ``layers``) looks inside the lap over depth and
time; ``startspeed`` is the trade's rule of thumb; ``membrane`` holds the families of
sheet; ``air`` what altitude and moisture change. ``sun``, ``outside``, ``sheet`` and
``sheetday`` follow the sheet through the weather; ``cords``, ``supply``, ``heater``,
``power`` and ``whatif`` the volts from generator to nozzle. No statistics here (see
``window``), no units and no files.
"""
