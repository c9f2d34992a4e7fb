"""The geometry and fits of a two-stroke's top end, on SI floats.

Here: where the piston stands and how fast it moves (`slider_crank`), what the ports do (`ports`),
volumes and compression ratios (`volumes`), squish (`squish`) and which gaskets bring it home
(`stack`), which piston fits (`piston`) and whether it is the one on the box (`identity`), rings
(`ring`), fits from cold to hot (`hotfit`), honing (`hone`).
Not here: what a reading is worth (`ringland.measure`), limits of a sheet (`ringland.sheet`),
verdicts and wording (`ringland.job`).
Start with `slider_crank.Crank`; most of the rest takes one. What cannot be answered is refused with
`refusal.OutOfRange`, which names the argument.
"""
