"""The templates, compiled once and not at every start.

Enters: nothing. Leaves: jinja2's ``Environment`` over the templates. What it compiles it keeps in
a ``__pycache__`` beside them, as Python does with modules: whoever may write there may write the
templates too. Where nothing can be written they are compiled at every start.
"""

from contextlib import suppress
from typing import Any

from engrave.words import TEMPLATES

COMPILED = TEMPLATES / "__pycache__"


def load_templates() -> None:
    """Load what fills them."""
    import jinja2  # noqa: F401


def environment() -> Any:
    """An environment of its own for every caller; what is undefined is an error.

    Nothing is worked out while a template is compiled: filters know a language, compiled templates
    do not.
    """
    from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined
    from jinja2.bccache import Bucket

    class Compiled(FileSystemBytecodeCache):
        """Told apart by jinja2 from those of other sources and versions."""

        def load_bytecode(self, bucket: Bucket) -> None:
            try:
                super().load_bytecode(bucket)
            except Exception:  # whatever is wrong with the file
                bucket.reset()

        def dump_bytecode(self, bucket: Bucket) -> None:
            with suppress(OSError):
                COMPILED.mkdir(exist_ok=True)
                super().dump_bytecode(bucket)

    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        bytecode_cache=Compiled(str(COMPILED), "%s.pyc"),
        optimized=False,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
