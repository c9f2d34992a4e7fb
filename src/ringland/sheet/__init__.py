"""The figures and the procedure of an engine, as sheets hold them.

Here: the text of a sheet (`text`), what it may contain (`model`), a figure as a manual prints it
(`figure`, `fastener`), all figures of a sheet read and ranked (`figures`), layers laid over each
other with every problem in its place (`load`, `layers`, `problems`, `references`). For whoever
types one: what is asked (`asking`, `plausible`), the new text (`writing`), what is missing
(`missing`), reading back (`readback`, `editing`), the view (`showing`), the JSON Schema (`schema`).
Not here: reading files (`ringland.bench`), judging (`ringland.job`).
Start with `load.load_sheet`.
"""
