"""Photos of pulled strips on the scale card: found, made flat, measured.

OpenCV is loaded when a photo is measured, never before; it comes with the extra ``photo``.
"""
