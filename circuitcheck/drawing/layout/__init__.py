"""Where everything stands on the wiring diagram, stage by stage; `layout.py` runs them."""
