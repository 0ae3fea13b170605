"""Two pages on a sheet, in the order in which the sheets fold into a booklet.

Enters: a bound PDF, all pages of one size. Leaves: a PDF of sheets twice as wide, front and back in
turn, to be printed on both sides (flipped at the short edge), folded once and stapled. Pages keep
their size, so that staves stay true: A5 pages make A4 sheets. The only door to pikepdf.
"""

from io import BytesIO

Side = tuple[int, int]


def saddle_stitch(pages: int) -> list[Side]:
    """The pages on each side of each sheet, left and right, from 1; those past ``pages`` blank.

    N = 4 ceil(n/4); sheet i from 0 has (N - 2i, 1 + 2i) on its front and (2 + 2i, N - 1 - 2i) on
    its back (bookbinders' handbooks, s.v. "saddle stitch").
    """
    if pages < 1:
        raise ValueError("a booklet has at least one page")
    total = -(-pages // 4) * 4
    return [
        side
        for sheet in range(total // 4)
        for side in (
            (total - 2 * sheet, 1 + 2 * sheet),
            (2 + 2 * sheet, total - 1 - 2 * sheet),
        )
    ]


def impose(pdf: bytes) -> bytes:
    """The sheets of ``pdf``; the same pages give the same bytes.

    Each side is labelled with its two pages (``8 | 1``), blanks left out, for print dialogues.
    """
    from pikepdf import Array, Dictionary, Name, Pdf, String

    with Pdf.open(BytesIO(pdf)) as book, Pdf.new() as sheets:
        _, _, width, height = (float(edge) for edge in book.pages[0].mediabox)
        pages = [sheets.copy_foreign(page.as_form_xobject()) for page in book.pages]
        labels = Array()
        for number, side in enumerate(saddle_stitch(len(pages))):
            there = [
                (page, x) for page, x in zip(side, (0, width), strict=True) if page <= len(pages)
            ]
            sheet = sheets.add_blank_page(page_size=(2 * width, height))
            sheet.obj.Resources = Dictionary(
                XObject=Dictionary({f"/P{page}": pages[page - 1] for page, _ in there})
            )
            drawn = "\n".join(f"q 1 0 0 1 {x:g} 0 cm /P{page} Do Q" for page, x in there)
            sheet.obj.Contents = sheets.make_stream(drawn.encode())
            label = " | ".join(str(page) for page, _ in there)
            labels.append(number)
            labels.append(Dictionary(P=String(label)))
        sheets.Root.PageLabels = Dictionary(Nums=labels)
        sheets.docinfo[Name.Title] = book.docinfo[Name.Title]
        printed = BytesIO()
        sheets.save(printed, deterministic_id=True)
    return printed.getvalue()
