"""A file is written as the library would have written it."""

from io import BytesIO
from typing import Any

import pydyf

from engrave.booklet.filing import WrittenObject, file_of


def _pdf(objects: int) -> Any:
    pdf = pydyf.PDF()
    pdf.info["Title"] = pydyf.String("Rondo")
    for number in range(objects):
        if number % 3:
            pdf.add_object(pydyf.Dictionary({"N": number, "A": pydyf.Array([1, 2.5])}))
        elif number % 2:
            pdf.add_object(pydyf.Stream([b"q", b"Q" * number], compress=number % 4 == 1))
        else:
            written = WrittenObject(is_stream=number % 4 == 0)
            written.data = b"<</Length 3>>\nstream\nabc\nendstream" if number % 4 == 0 else b"[1 2]"
            pdf.add_object(written)
    pdf.add_page(pydyf.Dictionary({"Type": "/Page", "Parent": pdf.pages.reference}))
    return pdf


def test_a_file_is_the_librarys_own() -> None:
    for objects in (0, 1, 40, 3000):
        theirs = BytesIO()
        _pdf(objects).write(theirs, "1.7", None, True)
        assert file_of(_pdf(objects), "1.7") == theirs.getvalue(), objects
