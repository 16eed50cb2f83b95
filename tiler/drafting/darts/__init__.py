"""Darts: closed forms, trued legs, caps, marks; wished and drawn ones put into an outline."""
