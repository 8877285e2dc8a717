"""Draws a sheet of jar labels with ReportLab (measured with 5.1.0), for `cargo bench --bench labels`.

Plainly, as its manual shows it: the same words, fonts and places, each symbol its own QR widget, pages compressed and
without the ASCII armour, so that the bytes compare.
"""

import io
import json
import resource
import statistics
import sys
import time

from reportlab import rl_config
from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

rl_config.useA85 = 0
ROUNDS = 3
sheet = json.load(open(sys.argv[1], encoding="utf-8"))
for name in ("Regular", "Bold"):
    pdfmetrics.registerFont(TTFont(name, f"{sys.argv[2]}/NotoSans-{name}.ttf"))


def draw():
    width, height = (side * mm for side in sheet["page"])
    label_width, label_height = (side * mm for side in sheet["label"])
    side = 17.4 * mm
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(width, height), pageCompression=1)
    for at, label in enumerate(sheet["labels"]):
        if at and at % sheet["per_page"] == 0:
            canvas.showPage()
        x, top = label["left"] * mm, height - label["top"] * mm
        canvas.setFont("Bold", 14)
        canvas.drawString(x + 2 * mm, top - 7 * mm, label["contents"])
        canvas.setFont("Bold", 12)
        canvas.drawString(x + 2 * mm, top - 14 * mm, label["put_up"])
        canvas.setFont("Bold", 10)
        canvas.drawString(x + 2 * mm, top - 20 * mm, label["code"])
        canvas.setFont("Regular", 8)
        for row, text in enumerate(reversed(label["details"])):
            canvas.drawString(x + 2 * mm, top - label_height + 3 * mm + row * 9.4, text)
        widget = QrCodeWidget(label["code"], barLevel="Q", barBorder=4, barWidth=side, barHeight=side)
        drawing = Drawing(side, side)
        drawing.add(widget)
        renderPDF.draw(drawing, canvas, x + label_width - side - 0.5 * mm, top - label_height + 0.5 * mm)
    canvas.save()
    return len(out.getvalue())


times = []
for _ in range(ROUNDS):
    begun = time.process_time()
    size = draw()
    times.append(time.process_time() - begun)
count = len(sheet["labels"])
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"reportlab {statistics.median(times) * 1e6 / count:.1f} {size / count:.0f} {peak:.1f}")
