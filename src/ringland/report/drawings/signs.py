"""The sign of each state: outline shape first, mark inside second, colour last."""

# verdict word -> short name of its state, used as class and for its sign
STATES = {
    "within": "within",
    "within, worn": "worn",
    "undecided": "undecided",
    "beyond": "beyond",
    "readings disagree": "disagree",
    "not comparable": "incomparable",
    "not measured": "unmeasured",
    "not judged": "neutral",
    "stop": "stop",
}
WORDS = {state: word for word, state in STATES.items()}
LINE = 'fill="none" stroke="currentColor" stroke-linejoin="round" stroke-linecap="round"'

_RING = f'<circle cx="16" cy="16" r="12.5" {LINE} stroke-width="2.6"/>'
_SIGNS = {
    "within": _RING + f'<path d="M9.8,16.6 L14.4,21 L22.4,11.6" {LINE} stroke-width="3"/>',
    "worn": _RING
    + '<path d="M4.6,20 A12.5,12.5 0 0 0 27.4,20 Z" fill="currentColor"/>'
    + f'<path d="M11,12.6 L14.6,16 L21.4,8.6" {LINE} stroke-width="2.6"/>',
    "undecided": f'<path d="M16,1.8 L30.2,16 L16,30.2 L1.8,16 Z" {LINE} stroke-width="2.6"/>'
    '<path d="M12.2,12.8 Q12.2,9.4 16,9.4 Q19.8,9.4 19.8,12.6 Q19.8,14.8 17.6,15.9 Q16,16.8 16,19" '
    f'{LINE} stroke-width="2.6"/><circle cx="16" cy="23" r="1.8" fill="currentColor"/>',
    "beyond": '<rect x="2.5" y="2.5" width="27" height="27" fill="currentColor"/>'
    '<path class="knock" d="M9.5,9.5 L22.5,22.5 M22.5,9.5 L9.5,22.5" fill="none" stroke="#fff" '
    'stroke-width="3.4"/>',
    "stop": '<path d="M10.2,2 H21.8 L30,10.2 V21.8 L21.8,30 H10.2 L2,21.8 V10.2 Z" '
    'fill="currentColor"/>'
    '<path class="knock" d="M8.5,16 H23.5" fill="none" stroke="#fff" stroke-width="4.4"/>',
    "disagree": '<path d="M16,1.6 A12,12 0 0 0 16,25.6 M16,6.4 A12,12 0 0 1 16,30.4 M16,1.6 V30.4" '
    f'{LINE} stroke-width="2.6"/><path d="M8,13.6 H13 M19,18.4 H24" {LINE} stroke-width="2.6"/>',
    "incomparable": f'<path d="M9,3.4 H23 L30.4,16 L23,28.6 H9 L1.6,16 Z" {LINE} stroke-width="2.6"/>'
    f'<path d="M8.6,12.4 H17 M15,20 H23.4" {LINE} stroke-width="3"/>',
    "unmeasured": f'<circle cx="16" cy="16" r="12.5" {LINE} stroke-width="2.4" '
    'stroke-dasharray="3.4 4.45"/>',
    "neutral": f'<circle cx="16" cy="16" r="12.5" {LINE} stroke-width="2.4"/>'
    f'<path d="M10,16 H22" {LINE} stroke-width="2.6"/>',
    # marks of things rather than verdicts
    "done": f'<path d="M6,17 L13,24 L26,8" {LINE} stroke-width="3.2"/>',
    "ready": f'<path d="M9,5 L23,16 L9,27" {LINE} stroke-width="3.2"/>',
    "waits": f'<path d="M4,16 H20 M27,6 V26 M13,9 L20,16 L13,23" {LINE} stroke-width="2.8"/>',
    "plus": f'<path d="M16,5 V27 M5,16 H27" {LINE} stroke-width="2.8"/>',
    "minus": f'<path d="M5,16 H27" {LINE} stroke-width="2.8"/>',
    "back": f'<path d="M11,7 H29 V25 H11 L3,16 Z M16,12 L24,20 M24,12 L16,20" {LINE} '
    'stroke-width="2.8"/>',
    "caution": f'<path d="M16,3 L30,28 H2 Z M16,12 V19" {LINE} stroke-width="2.8"/>'
    '<circle cx="16" cy="23.6" r="1.8" fill="currentColor"/>',
}


def sign(state: str, size: int = 28) -> str:
    """Return a state's sign as SVG; it never stands without its word.

    state : a short name of `STATES`, or a mark: done, ready, waits, plus, minus, back, caution

    >>> sign("within").startswith('<svg class="sign s-within"')
    True
    """
    return (
        f'<svg class="sign s-{state}" width="{size}" height="{size}" viewBox="0 0 32 32" '
        f'aria-hidden="true" focusable="false">{_SIGNS[state]}</svg>'
    )
