"""Where the seams are: outline, sheets, numbered seams, stations, and what they add up to.

Everything is geometry in metres on a flat drawing: no files, no field units, no welding. A foot
of roof is named by a seam and a station, and what happened there is the business of ``record``
and ``proof``. Welding rules, settings and evidence do not belong here.
"""
