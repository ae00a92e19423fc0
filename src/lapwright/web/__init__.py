"""The page: one morning's window, entered by taps and answered by the core.

``app`` wires the service and turns errors into one JSON shape; ``static/`` is the page
itself, plain modules without a build step. Nothing is computed or kept here: the answer
comes from the function handed to :func:`lapwright.web.app.create_app`, and what a person
types stays in the browser.
"""
