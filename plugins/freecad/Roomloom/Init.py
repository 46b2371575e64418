"""FreeCAD runs this at every start, also without a window. Nothing is needed until it is used."""
