"""Darts: closed forms, trued legs, caps, marks, and a dart put into an outline."""
