"""Every place where pvsim reaches into private parts of Panel and Bokeh, each with its reason.

Nothing else in pvsim overrides, replaces or calls what these packages do not offer. Each mend is a subclass
that pvsim alone uses; nothing of Panel or Bokeh is replaced for others but in `defaults`, where others get
what they got before. Each file has its test of the same
name in tests/app/mends, and test_parts.py there holds that every part is still there in its shape: where a
new release makes one fail, read the reason here, and mend anew or take the mend out. What does so in the
browser is in static/shell/mends.js and static/shell/opening.js.
"""
