"""What the record proves, and what it does not.

``cuts`` says what clean cuts, strips and probed feet prove, ``sampling`` how many to take,
``nextcuts`` where, ``control`` whether the work drifts, ``compare`` whether two people
differ at all. ``peel`` and ``peelset`` weigh strips that a force gauge pulled.

``chains`` says which set-ups are the same, ``verdicts`` whether a test weld or cut passed,
``runs`` where each run lies, ``probing`` what was probed and which defects are open. ``trace``
joins them foot by foot. After a failure ``strand`` lays a chain's feet in the order of welding,
``suspect`` says which are in doubt, ``bounding`` where to cut next, ``shared`` what else shares
the blame.

Not here: keeping facts (``record``), heat (``physics``), the weld window (``window``).
"""
