"""The window's side: commands, task panels, the view. Only imported where FreeCAD has a window."""
