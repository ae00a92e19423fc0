"""The crew's day, one file per moment: joins settings, strips and record.

``morning`` takes test welds in and gives window, set point and next weld out; ``power``
asks what reaches the machine; ``rules`` holds what the job's documents say; ``change``
says when to test again; ``planning`` looks at the hours ahead. Files here join; if one
starts to compute, the computation belongs in ``physics``, ``window`` or ``proof``. No
units, words, clocks or databases.
"""
