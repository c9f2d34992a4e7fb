"""Charts: curves with bands, readings and limits, as SVG text in one house style.

Here: the style and its themes (`style`), a curve over one axis (`curve`). Arrays and words in, SVG
text out, the same bytes each time. Not here: drawings of parts and verdict pictures (own templates
in `ringland.report`), and what to draw. matplotlib is imported only while a chart is drawn.
Start with `curve.curve_chart`.
"""
