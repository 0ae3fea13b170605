"""The stages from a marks file to a booklet: ``check`` stops before the engraving, ``build`` goes on.

Read ``stages`` first: it is the list of what happens, in order. ``manifest`` says what was made,
``writing`` puts it in its place whole or not at all.
"""

from engrave.pipeline.stages import Checked, Job, build, check

__all__ = ["Checked", "Job", "build", "check"]
