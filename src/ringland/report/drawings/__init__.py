"""Own drawings, as SVG text that page and paper share: signs, verdict picture, joint, engine.

Here: shapes from figures; presentation attributes only, since an inline `style` is blocked on the
page; colours by `currentColor` and class, so that one drawing serves light, dark and print.
Not here: wording (`ringland.report.words`), charts (`ringland.charts`), any rule of the trade.
Start with `signs.sign`, `verdict.verdict_picture`, `joint.joint_picture`, `engine.draw_engine`.
"""
