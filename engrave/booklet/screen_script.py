"""The screen edition's script and content policy: modules of ``templates/screen`` in one text.

Enters: a folder of modules. Leaves: a script, and the policy that lets it and one style sheet run
and nothing else. Every module becomes a function's body, so that its names stay its own.
"""

import re
from base64 import b64encode
from hashlib import sha256
from pathlib import Path

_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w-]+\.js)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export ((?:async )?function|class|const) (\w+)", re.MULTILINE)
_COMMENT = re.compile(r"^ *//.*\n", re.MULTILINE)


def script(folder: Path, entry: str = "main.js") -> str:
    """The module ``entry`` with all that it imports, each after what it imports itself."""
    written: dict[str, str] = {}
    _add(folder, entry, written, ())
    return '"use strict";\n' + "".join(written.values())


def _add(folder: Path, name: str, written: dict[str, str], above: tuple[str, ...]) -> None:
    if name in above:
        raise RuntimeError(f"modules import each other: {' → '.join((*above, name))}")
    if name in written:
        return
    text = (folder / name).read_text("utf-8")
    for _, other in _IMPORT.findall(text):
        _add(folder, other, written, (*above, name))
    exported = [found[1] for found in _EXPORT.findall(text)]
    body = _IMPORT.sub(
        lambda found: f"const {{{found[1].strip().rstrip(',')}}} = {_variable(found[2])};\n", text
    )
    body = _COMMENT.sub("", _EXPORT.sub(r"\1 \2", body))
    if re.search(r"^(import|export)\b", body, re.MULTILINE):
        raise RuntimeError(f"{name}: an import or export that is not in one of the plain forms")
    written[name] = (
        f"const {_variable(name)} = (() => {{\n{body}return {{{', '.join(exported)}}};\n}})();\n"
    )


def _variable(name: str) -> str:
    return "$" + name.removesuffix(".js").replace("-", "_")


def policy(scripts: str, styles: str) -> str:
    """The content policy of a page with one script and one style sheet; nothing is loaded."""
    return (
        f"default-src 'none'; script-src '{_hash(scripts)}'; style-src '{_hash(styles)}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode()}"
