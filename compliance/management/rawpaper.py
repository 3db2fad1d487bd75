"""The yardstick for the certificate: the same words on a bare canvas, as one would usually write it."""

from __future__ import annotations

import io

from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

from compliance.core.paper import Note, Pairs, Paper, Signature, Table, Ticket, Words


def raw_certificate(paper: Paper) -> bytes:
    """Every text of the paper in lines on letter pages with a QR; no layout, no archive format."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=letter, invariant=1)
    drawing = Drawing(60, 60)
    drawing.add(QrCodeWidget(paper.check_url, barWidth=60, barHeight=60))
    renderPDF.draw(drawing, canvas, 500, 700)
    y = 740
    for line in (
        paper.title,
        paper.number,
        *paper.shop,
        *(line for block in paper.blocks for line in _lines(block)),
    ):
        if y < 50:
            canvas.showPage()
            y = 740
        canvas.setFont("Helvetica", 10)
        canvas.drawString(50, y, line[:110])
        y -= 13
    canvas.save()
    return out.getvalue()


def _lines(block: object) -> list[str]:
    if isinstance(block, Words | Note):
        return [block.text]
    if isinstance(block, Pairs):
        return [block.title, *(f"{name}: {value}" for name, value in block.rows)]
    if isinstance(block, Table):
        return [block.title, "  ".join(block.columns), *("  ".join(row) for row in block.rows), *block.notes]
    if isinstance(block, Ticket):
        return [*("  ".join(figure) for figure in block.figures), block.line]
    return [block.statement, block.signed] if isinstance(block, Signature) else []
